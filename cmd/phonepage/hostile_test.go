package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// runs are texts that run as script where a page takes them for markup, an attribute or an address.
var runs = []string{
	`<img src=x onerror="top.ran=1">`,
	`</script><script>top.ran=1</script>`,
	`</title></textarea></style><svg onload="top.ran=1">`,
	`"><iframe srcdoc="<script>top.ran=1</script>">`,
	`' autofocus onfocus='top.ran=1`,
	`javascript:top.ran=1`,
}

// TestNothingInAFileRunsAsScript opens a bank, a repertoire, a log and a recording whose every text
// and name is such a text, and looks at every view and at the report.
func TestNothingInAFileRunsAsScript(t *testing.T) {
	out := pages(t)
	folder := t.TempDir()
	var bank, pieces, log string
	for i, text := range runs {
		bank += fmt.Sprintf("[[phrase]]\nid = \"p%d\"\nname = %q\nmeter = \"4/4\"\nrhythm = \"x x xx x\"\ntags = [%[2]q]\n", i, text)
		pieces += fmt.Sprintf("[[piece]]\nid = \"q%d\"\nname = %q\nmeter = \"4/4\"\ntempo = 96\nnotes = %[2]q\ntags = [%[2]q]\n"+
			"[[piece.part]]\nname = %[2]q\nrhythm = \"x x xx x\"\n", i, text)
		log += fmt.Sprintf(`{"schema":"clapladder/history/1","group":%q,"date":"2026-03-0%dT12:00:00Z","rounds":[],"estimate":null}`+"\n", text, i+1)
		log += fmt.Sprintf(`{"schema":"clapladder/history/1","kind":"note","group":%q,"date":"2026-03-0%dT13:00:00Z","text":%[1]q}`+"\n", text, i+1)
	}
	sound, err := os.ReadFile(demoRecording)
	require.NoError(t, err)
	b := start(t, "")
	address := fileAddress(filepath.Join(out, "clapladder.html"))
	b.open(address + "#mine")
	choose := func(input, name, content, then string) {
		path := filepath.Join(folder, name)
		require.NoError(t, os.WriteFile(path, []byte(content), 0o600))
		b.do(chromedp.SetUploadFiles(input, []string{path}))
		b.until(then)
	}
	said := func(word string) string {
		return fmt.Sprintf(`document.getElementById("mine-wrong").innerText.includes(%q)`, word)
	}
	choose("#mine-file", `<img src=x onerror=top.ran=1>.toml`, bank, said("is now your bank"))
	choose("#mine-file", "pieces.toml", pieces, said("is now your repertoire"))
	choose("#mine-file", "history.jsonl", log, said("added to the log"))
	choose("#mine-file", `<svg onload=top.ran=1>.toml`, "[[phrase]]\nid = \"<img src=x onerror=top.ran=1>\"\n"+
		"meter = \"<svg onload=top.ran=1>\"\nrhythm = \"<img src=x onerror=top.ran=1>\"\n", said("can't be used"))
	eval[bool](b, `document.querySelectorAll("#groups details").forEach(d => { d.open = true; }), true`)
	b.until(`document.querySelectorAll("#groups details button").length > 0`)
	assert.Contains(t, b.text("#groups"), runs[0], "shown as what it is")
	for range 4 {
		b.turn("thumb")
		b.click("#thumb-got")
	}
	b.turn("play")
	b.until(`document.querySelector("#play-openers li") != null`)
	b.reload(address + "#recording")
	choose("#file", `<img src=x onerror=top.ran=1>.wav`, string(sound), shown)
	inReport := eval[string](b, `document.getElementById("report-frame").contentDocument.body.innerText`)
	assert.Contains(t, inReport, runs[0], "a phrase is named in the report")
	const strangers = `[document, document.getElementById("report-frame").contentDocument]
		.flatMap(d => [...d.querySelectorAll("*")])
		.filter(e => [...e.attributes].some(a => a.name.startsWith("on") ||
			["href", "src", "action", "srcdoc"].includes(a.name) && a.value.startsWith("javascript:")))
		.map(e => e.outerHTML).join("\n")`
	assert.Empty(t, eval[string](b, strangers))
	assert.True(t, eval[bool](b, `window.ran === undefined`), "something ran")
	b.quiet(address)
}

// TestRubbishInTheStorageIsSaid fills what the page keeps with what it never wrote: another page of
// the same host may have, or an older version.
func TestRubbishInTheStorageIsSaid(t *testing.T) {
	out := pages(t)
	b := start(t, "")
	server := host(t, filepath.Join(out, "site"))
	b.open(server.URL)
	for name, rubbish := range map[string]string{
		"text":    `"\u0000\ufffd{[\"<"`,
		"number":  `42`,
		"object":  `{ a: [1, { b: null }] }`,
		"list":    `[null, 1, {}]`,
		"bytes":   `new Uint8Array(1000).buffer`,
		"json":    `"{\"schema\":\"clapladder/report/1\",\"rounds\":5,\"group\":[]}"`,
		"empties": `"[null,{},5,{\"phrase\":7,\"heard\":[]}]"`,
	} {
		eval[bool](b, fmt.Sprintf(`import("clapladder/store.js").then(async s => {
			for (const key of ["bank", "repertoire", "sofar", "sofar-at", "tally", "people"]) await s.texts.put(key, %s);
			await s.log.add(%[1]s);
			return true;
		})`, rubbish))
		b.reload(server.URL + "#mine")
		assert.Contains(t, b.text("#mine-bank"), "can't be used", name)
		assert.Contains(t, b.text("#mine-repertoire"), "can't be used", name)
		assert.Contains(t, b.text("#groups"), "can't be read", name)
		assert.Contains(t, b.text("#last-time"), "can't be read", name)
		for _, view := range []string{"listen", "recording", "thumb", "play", "report"} {
			b.turn(view)
			assert.NotEmpty(t, b.text("main"), "%s: %s is a blank page", name, view)
		}
		b.turn("thumb")
		b.click("#thumb-got")
		b.until(`document.querySelectorAll("#thumb-list li").length == 1`)
		b.click("#thumb-undo")
	}
	b.quiet(server.URL)
}
