package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
	"clapladder.example/patterns/bank"
)

// mostBytes is as large as the single file may be: it is sent by message.
const mostBytes = 4_000_000

// demoReport is the report of the command line on the demo.
func demoReport(t *testing.T) *assess.Report {
	f, err := os.Open(demoRecording)
	require.NoError(t, err)
	defer f.Close()
	report, err := assess.Recording(t.Context(), f, bank.Starter(),
		assess.Options{Repertoire: bank.StarterRepertoire()})
	require.NoError(t, err)
	require.NotNil(t, report.Group.Tier)
	return report
}

// keptReport is the report that the page keeps.
func (b *browser) keptReport() *assess.Report {
	b.t.Helper()
	text := eval[string](b, `import("clapladder/store.js").then(s => s.texts.get("sofar")).then(x => x || "")`)
	var r assess.Report
	require.NoError(b.t, json.Unmarshal([]byte(text), &r))
	return &r
}

const shown = `document.getElementById("report-frame").contentDocument?.querySelector(".tier") != null`

func TestASingleFileFromDiskScoresARecordingAsTheCommandLineDoes(t *testing.T) {
	out := pages(t)
	path := filepath.Join(out, "clapladder.html")
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Less(t, info.Size(), int64(mostBytes))
	b := start(t, "")
	begun := time.Now()
	b.open(fileAddress(path) + "#recording")
	t.Logf("ready after %.2f s", time.Since(begun).Seconds())
	begun = time.Now()
	b.do(chromedp.SetUploadFiles("#file", []string{demoPath(t)}))
	b.until(shown)
	took := time.Since(begun).Seconds()
	t.Logf("78 s scored and shown in %.2f s, %.0f times real time", took, 78/took)

	want := demoReport(t)
	tier := eval[string](b, `document.getElementById("report-frame").contentDocument.querySelector(".tier").innerText`)
	assert.Contains(t, tier, fmt.Sprintf("Tier %d", *want.Group.Tier))
	assert.Contains(t, strings.ReplaceAll(tier, "\u00a0", " "),
		view.Chance(want.Group.TierProbabilities[*want.Group.Tier-1]))
	got := b.keptReport()
	got.Tool = ""
	wanted, err := json.Marshal(want)
	require.NoError(t, err)
	kept, err := json.Marshal(got)
	require.NoError(t, err)
	assert.JSONEq(t, string(wanted), string(kept), "the whole report, number by number")

	// What was known is there again after a reload, and what to play is for that group.
	b.turn("play")
	b.until(`document.querySelector("#play-openers li") != null`)
	b.reload(fileAddress(path) + "#play")
	b.until(`document.querySelector("#play-openers li") != null`)
	assert.Contains(t, b.text("#play-about"), fmt.Sprintf("tier %d", *want.Group.Tier))
	assert.Contains(t, b.text("#last-time"), "9 rounds")
	b.quiet(fileAddress(path))
}

// microphone makes Chromium's microphone the demo, once.
func microphone(t *testing.T) []chromedp.ExecAllocatorOption {
	return []chromedp.ExecAllocatorOption{
		chromedp.Flag("use-fake-ui-for-media-stream", true),
		chromedp.Flag("use-fake-device-for-media-stream", true),
		chromedp.Flag("use-file-for-fake-audio-capture", demoPath(t)+"%noloop"),
	}
}

func TestTheMicrophoneInTheRoom(t *testing.T) {
	out := pages(t)
	profile := t.TempDir()
	b := start(t, profile, microphone(t)...)
	server := host(t, filepath.Join(out, "site"))
	b.open(server.URL)
	b.click("#listen-go")
	b.until(`!document.getElementById("room").hidden`)
	assert.Contains(t, b.text("#room-said"), "untouched", "processing is asked to be off, and is")
	b.until(`document.getElementById("room-level").dataset.state != "listening"`) // the leader's first claps
	b.see("check-390")
	b.click("#room-start")
	b.until(`document.querySelectorAll("#room-rounds li").length > 0 && document.querySelector("#room-next .name")`)
	b.see("room-390")
	if os.Getenv("WHOLE") == "" { // WHOLE=yes listens to the demo's end, which takes its 78 seconds
		b.until(`document.querySelectorAll("#room-rounds li").length > 1`)
	} else {
		b.until(`document.getElementById("room-tier").innerText.startsWith("Tier")`)
		b.see("room-tier-390")
		time.Sleep(50 * time.Second)
	}
	known := b.keptReport()
	assert.True(t, known.Provisional)
	assert.NotEmpty(t, known.Rounds)

	// A page that is closed in the middle loses no round that was shown, and keeps no sound.
	b.close()
	noSoundIn(t, profile)
	again := start(t, profile, microphone(t)...)
	again.open(server.URL)
	assert.Contains(t, again.text("#last-time"), "cut off")
	again.quiet(server.URL)
}

// noSoundIn fails where a browser's folder has grown by what could be sound. A minute of it takes
// 1.9 MB even as 16-bit samples at 16 kHz; the page's own parts are in there too.
func noSoundIn(t *testing.T, profile string) {
	demo, err := os.ReadFile(demoRecording)
	require.NoError(t, err)
	piece := string(demo[len(demo)/2 : len(demo)/2+64])
	err = filepath.WalkDir(profile, func(path string, entry os.DirEntry, err error) error {
		if err != nil || !entry.Type().IsRegular() {
			return nil //nolint:nilerr // it may have gone meanwhile
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return nil //nolint:nilerr // as above
		}
		for _, sign := range []string{piece, "WAVEfmt", "OpusHead", "\x1a\x45\xdf\xa3"} {
			if strings.Contains(string(data), sign) {
				t.Errorf("%s holds %q", path, sign)
			}
		}
		return nil
	})
	require.NoError(t, err)
}

func TestAMicrophoneThatIsNotAllowedIsSaidPlainly(t *testing.T) {
	out := pages(t)
	b := start(t, "", chromedp.Flag("deny-permission-prompts", true),
		chromedp.Flag("use-fake-device-for-media-stream", true))
	b.open(fileAddress(filepath.Join(out, "clapladder.html")))
	b.click("#listen-go")
	b.until(`document.querySelector("#listen-wrong .wrong") != null`)
	assert.Contains(t, b.text("#listen-wrong"), "not allowed")
	assert.Contains(t, b.text("#listen-wrong"), "choose a recording")
	assert.True(t, eval[bool](b, `document.getElementById("room").hidden`))
}

func TestTheTallyByThumb(t *testing.T) {
	out := pages(t)
	b := start(t, "")
	address := fileAddress(filepath.Join(out, "clapladder.html"))
	b.open(address + "#thumb")
	var verdicts []string
	for i, heard := range []string{"got", "got", "partly", "got", "lost"} {
		verdicts = append(verdicts, heard)
		b.click("#thumb-" + heard)
		b.until(fmt.Sprintf(`document.querySelectorAll("#thumb-list li").length == %d`, i+1))
	}
	assert.Contains(t, b.text("#thumb-tier"), "ier")
	calls := eval[string](b, `import("clapladder/store.js").then(s => s.texts.get("tally"))`)
	var kept []struct{ Phrase, Heard string }
	require.NoError(t, json.Unmarshal([]byte(calls), &kept))
	require.Len(t, kept, len(verdicts))
	b.see("thumb-390")

	b.click("#thumb-undo")
	b.until(`document.querySelectorAll("#thumb-list li").length == 4`)
	b.reload(address + "#thumb") // and a reload keeps the four
	b.until(`document.querySelectorAll("#thumb-list li").length == 4`)
	b.click("#thumb-report")
	b.until(shown)

	// The log: a warm-up is kept, told, taken back.
	b.turn("mine")
	eval[string](b, `document.getElementById("keep-group").value = "tide mill Monday"`)
	b.click("#keep-form button")
	b.until(`document.querySelector("#groups details") != null`)
	assert.Contains(t, b.text("#groups"), "tide mill Monday – 1 warm-up")
	b.see("mine-390")
	b.click("#log-undo")
	b.until(`document.querySelector("#groups details") == null`)
	b.quiet(address)
}

func TestFilesOfOnesOwn(t *testing.T) {
	out := pages(t)
	folder := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	good := write("mine.toml",
		"[[phrase]]\nid = \"cleat\"\nname = \"On the cleat\"\nmeter = \"4/4\"\nrhythm = \"x x xx x\"\n")
	broken := write("broken.toml", "[[phrase]]\nid = \"cleat\"\nmeter = \"4/4\"\nrhythm = \"x q xx x\"\n")
	log := write("history.jsonl", `{"schema":"clapladder/history/1","group":"ferry crew","date":"2026-03-02T12:00:00Z","rounds":[],"estimate":null}`+"\n")
	b := start(t, "")
	address := fileAddress(filepath.Join(out, "clapladder.html"))
	b.open(address + "#mine")
	choose := func(path, then string) {
		b.do(chromedp.SetUploadFiles("#mine-file", []string{path}))
		b.until(fmt.Sprintf(`document.getElementById("mine-wrong").innerText.includes(%q)`, then))
	}
	choose(broken, "nothing was changed")
	assert.Contains(t, b.text("#mine-wrong"), "Line 4")
	b.see("broken-390")
	choose(good, "is now your bank")
	b.until(`document.getElementById("mine-bank").innerText.includes("Your bank: 1 phrase")`)
	choose(log, "1 line added")
	choose(log, "0 lines added") // twice is once
	b.reload(address + "#mine")
	assert.Contains(t, b.text("#mine-bank"), "Your bank: 1 phrase", "it is kept")
	assert.Contains(t, b.text("#groups"), "ferry crew")
	assert.Equal(t, "On the cleat", b.text("#thumb-call .name"))
	eval[bool](b, `document.getElementById("licences").open = true`)
	b.until(`document.querySelector("#licences pre").innerText.includes("GNU LESSER GENERAL PUBLIC LICENSE")`)
	saved := eval[string](b, `import("clapladder/store.js").then(s => s.texts.get("bank"))`)
	want, err := os.ReadFile(good)
	require.NoError(t, err)
	assert.Equal(t, string(want), saved, "byte for byte as it came")
	b.quiet(address)
}
