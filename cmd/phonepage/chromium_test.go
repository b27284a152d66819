package main

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// built is the page, made once for all tests.
var built = sync.OnceValues(func() (out string, err error) {
	if out, err = os.MkdirTemp("", "phonepage-test-"); err != nil {
		return "", err
	}
	scratch = out
	return out, build(context.Background(), out, "test", os.Stderr)
})

var scratch string // where the page was built; empty where no test needed it

func TestMain(m *testing.M) {
	status := m.Run()
	if scratch != "" {
		os.RemoveAll(scratch)
	}
	os.Exit(status)
}

// pages returns the folder with the page; tests in a browser are skipped where there is none.
func pages(t *testing.T) string {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	if raceOn {
		t.Skip("the race detector has nothing to watch in a browser")
	}
	if chromium() == "" {
		t.Skip("no Chromium here; on Debian: apt-get install chromium")
	}
	out, err := built()
	require.NoError(t, err)
	return out
}

func chromium() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// browser is a started Chromium with one tab.
type browser struct {
	context.Context
	t        *testing.T
	profile  string
	close    func()
	requests []string // addresses asked for
	console  []string // what went wrong in the page
	mutex    sync.Mutex
}

// start starts a browser with a profile of its own, where none is given, and further flags.
func start(t *testing.T, profile string, flags ...chromedp.ExecAllocatorOption) *browser {
	if profile == "" {
		profile = t.TempDir()
	}
	options := append([]chromedp.ExecAllocatorOption{
		chromedp.ExecPath(chromium()), chromedp.NoSandbox, chromedp.Headless, chromedp.DisableGPU,
		chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true),
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"), chromedp.UserDataDir(profile),
		chromedp.WindowSize(390, 844),
	}, flags...)
	allocated, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocated)
	b := &browser{Context: ctx, t: t, profile: profile}
	b.close = sync.OnceFunc(func() { _ = chromedp.Cancel(ctx); cancel(); stop() })
	t.Cleanup(b.close)
	require.NoError(t, chromedp.Listen(ctx, b.note))
	for _, err := range []error{
		call(b, network.Enable, network.EnableParams{}), call(b, log.Enable, cdp.Empty{}), call(b,
			runtime.Enable, cdp.Empty{}),
	} {
		require.NoError(t, err)
	}
	return b
}

// call sends a command of the protocol that gives nothing back.
func call[P, R any](b *browser, command cdp.Command[P, R], params P) error {
	_, err := chromedp.Call(b.Context, command, params)
	return err
}

// note takes down requests and what the page complains of.
func (b *browser) note(event any) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, e.Request.URL)
	case *runtime.EventExceptionThrown:
		b.console = append(b.console, exception(e.ExceptionDetails))
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			b.console = append(b.console, e.Entry.Text)
		}
	}
}

func (b *browser) do(actions ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, done := context.WithTimeout(b, patience)
	defer done()
	if err := chromedp.Do(ctx, actions...); err != nil {
		b.fail(err)
	}
}

func (b *browser) fail(err error) {
	b.t.Helper()
	b.mutex.Lock()
	defer b.mutex.Unlock()
	b.t.Fatalf("%v\nthe page said: %s", err, strings.Join(b.console, "\n"))
}

// eval is the value of an expression of the page, awaited.
func eval[T any](b *browser, expression string) T {
	b.t.Helper()
	ctx, done := context.WithTimeout(b, patience)
	defer done()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.fail(fmt.Errorf("%s: %w", expression, err))
	}
	return value
}

const patience = 90 * time.Second

// open loads an address and waits until the scorer is ready.
func (b *browser) open(address string) {
	b.t.Helper()
	b.do(chromedp.Navigate(address))
	b.until(`document.documentElement.dataset.ready == "yes"`)
}

// reload loads the page anew, and then shows one of its views.
func (b *browser) reload(address string) {
	b.t.Helper()
	b.do(chromedp.Navigate("about:blank"))
	b.open(address)
}

// turn shows one of the page's views.
func (b *browser) turn(view string) {
	b.t.Helper()
	eval[string](b, fmt.Sprintf("location.hash = %q", view))
	b.until(fmt.Sprintf("!document.getElementById(%q).hidden", "view-"+view))
}

// click presses what can be seen, is in force and has nothing over it.
func (b *browser) click(selector string) {
	b.t.Helper()
	b.until(fmt.Sprintf(`(() => {
		const x = document.querySelector(%q);
		if (!x || x.disabled || !x.checkVisibility()) return false;
		x.scrollIntoView({ block: "nearest" });
		const r = x.getBoundingClientRect();
		if (!x.contains(document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2))) return false;
		x.click();
		return true;
	})()`, selector))
}

// text is what an element shows.
func (b *browser) text(selector string) string {
	b.t.Helper()
	return eval[string](b, fmt.Sprintf("document.querySelector(%q).innerText", selector))
}

// until waits for an expression of the page to be true. Its policy forbids what chromedp's own
// polling does.
func (b *browser) until(expression string) {
	b.t.Helper()
	for begun := time.Now(); !eval[bool](b, "Boolean("+expression+")"); time.Sleep(30 * time.Millisecond) {
		if time.Since(begun) > patience {
			b.fail(fmt.Errorf("never came: %s; the page shows: %s", expression, b.text("body")))
		}
	}
}

// see writes a screenshot into the folder that SCREENSHOTS names, if it does.
func (b *browser) see(name string) {
	folder := os.Getenv("SCREENSHOTS")
	if folder == "" {
		return
	}
	picture, err := chromedp.Run(b, chromedp.CaptureScreenshot())
	require.NoError(b.t, err)
	require.NoError(b.t, os.WriteFile(filepath.Join(folder, name+".png"), picture, 0o644))
}

// quiet fails where the page complained, or asked for anything but its own origin.
func (b *browser) quiet(origin string) {
	b.t.Helper()
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if len(b.console) > 0 {
		b.t.Errorf("the page complained:\n%s", strings.Join(b.console, "\n"))
	}
	for _, address := range b.requests {
		own := strings.HasPrefix(address, origin)
		for _, inside := range []string{"data:", "blob:", "about:"} {
			own = own || strings.HasPrefix(address, inside)
		}
		if !own {
			b.t.Errorf("the page asked for %s", address)
		}
	}
}

// host serves the folder on an address of its own.
func host(t *testing.T, folder string) *httptest.Server {
	server := httptest.NewServer(http.FileServer(http.Dir(folder)))
	t.Cleanup(server.Close)
	return server
}

func fileAddress(path string) string { return "file://" + path }

const demoRecording = "../../testdata/boatyard-lunch.wav"

func demoPath(t *testing.T) string {
	path, err := filepath.Abs(demoRecording)
	require.NoError(t, err)
	return path
}

func exception(d *runtime.ExceptionDetails) string {
	if d.Exception != nil {
		return d.Text + " " + d.Exception.Description
	}
	return d.Text
}
