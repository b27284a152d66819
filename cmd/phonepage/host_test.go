package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOnAHostItWorksOfflineAfterTheFirstVisitAndTakesANewVersion(t *testing.T) {
	out := pages(t)
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join(out, "site"))))
	server := host(t, folder)
	b := start(t, "")
	b.open(server.URL)
	b.until(`navigator.serviceWorker.controller != null`)
	b.quiet(server.URL)

	// A new version waits until it is asked for.
	app, err := os.ReadFile(filepath.Join(folder, "app.css"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "app.css"), append(app, "\n/* new */"...), 0o600))
	worker, err := os.ReadFile(filepath.Join(folder, "sw.js"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "sw.js"), append(worker, "\n// new"...), 0o600))
	b.reload(server.URL)
	b.until(`navigator.serviceWorker.getRegistration().then(r => r.update()).then(() => document.querySelector("#status button") != null)`)

	// No network: the host is gone.
	address := server.URL
	server.Close()
	b.reload(address + "#recording")
	b.do(chromedp.SetUploadFiles("#file", []string{demoPath(t)}))
	b.until(shown)
}

func TestTwoTabsShareOneLogAndAFullPhoneIsSaidPlainly(t *testing.T) {
	out := pages(t)
	server := host(t, filepath.Join(out, "site"))
	b := start(t, "")
	b.open(server.URL)
	second, cancel := chromedp.NewContext(b.Context)
	defer cancel()
	other := &browser{Context: second, t: t}
	require.NoError(t, chromedp.Listen(second, other.note))
	other.open(server.URL + "#mine")
	add := `import("clapladder/store.js").then(s => Promise.all([...Array(20).keys()].map(i => s.log.add("%s" + i)))).then(() => true)`
	for _, tab := range []*browser{b, other} {
		assert.True(t, eval[bool](tab, add))
	}
	assert.Equal(t, 40, eval[int](other, `import("clapladder/store.js").then(s => s.log.lines()).then(l => l.length)`))

	// Chromium does not hold IndexedDB to an overridden quota, so the store itself refuses, as a
	// full phone's does.
	eval[*bool](b, `IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError"); }, null`)
	said := eval[string](b, `import("clapladder/store.js").then(s => s.texts.put("bank", "x")).then(() => "kept", e => e.message)`)
	assert.Contains(t, said, "no room left")
	assert.Equal(t, 40, eval[int](b, `import("clapladder/store.js").then(s => s.log.lines()).then(l => l.length)`), "what was there stays")
}
