package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// roomWithoutSound shows the large screen as it is in the middle of a warm-up.
const roomWithoutSound = `import("clapladder/scorer.js").then(async ({ask}) => {
	const known = await ask("tally", {calls: [["row","got"],["gangway","got"],["throw","partly"],["load","lost"],["bell","got"]].map(([phrase, heard]) => ({phrase, heard}))});
	const { sofar } = await import("clapladder/listen.js");
	const room = document.getElementById("room");
	room.hidden = false;
	room.dataset.part = "listening";
	document.getElementById("room-clock").textContent = "1:04";
	sofar(known);
	return true;
})`

// TestLooks walks through all views as wide as a small phone, a phone and a tablet, light and dark:
// nothing may stick out, whatever can be tapped is large enough (WCAG 2.2, 2.5.8), and axe-core
// finds nothing, where AXE names it (npm install axe-core). SCREENSHOTS names a folder for pictures
// to look at. LOOKS=all goes on to the tablet and to all schemes.
func TestLooks(t *testing.T) {
	out := pages(t)
	axe, _ := os.ReadFile(os.Getenv("AXE"))
	b := start(t, "")
	b.open(fileAddress(filepath.Join(out, "clapladder.html")))
	b.do(chromedp.SetUploadFiles("#file", []string{demoPath(t)}))
	b.until(shown)
	if len(axe) > 0 {
		eval[*string](b, string(axe)+";null")
	}
	for _, width := range []int64{320, 390, 768} {
		for _, scheme := range []string{"light", "dark"} {
			if os.Getenv("LOOKS") != "all" && (width == 768 || (width == 320) != (scheme == "dark")) {
				continue
			}
			dark := []emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}
			features := make([]*emulation.MediaFeature, len(dark))
			for i := range dark {
				features[i] = &dark[i]
			}
			require.NoError(t, call(b, emulation.SetEmulatedMedia,
				emulation.SetEmulatedMediaParams{Features: features}))
			height := width * 2
			if width > 700 {
				height = 1024
			}
			b.do(chromedp.EmulateViewport(width, height))
			for _, view := range []string{"listen", "recording", "thumb", "play", "mine", "report", "room"} {
				if view == "room" {
					require.True(t, eval[bool](b, roomWithoutSound))
				} else {
					eval[*bool](b, `document.getElementById("room").hidden = true, null`)
					b.turn(view)
				}
				name := fmt.Sprintf("%s-%d-%s", view, width, scheme)
				b.see(name)
				assert.LessOrEqual(t, eval[int](b, `document.documentElement.scrollWidth - innerWidth`), 0, "%s: something sticks out", name)
				assert.Empty(t, b.small(), "%s: too small to tap", name)
				if len(axe) > 0 {
					assert.Empty(t, b.violations(), name)
				}
			}
		}
	}
	b.do(chromedp.EmulateViewport(844, 390))
	require.True(t, eval[bool](b, roomWithoutSound))
	b.see("room-844-dark")
}

// small lists what can be tapped and is lower or narrower than 44 CSS pixels, but for links within
// text.
func (b *browser) small() []string {
	b.t.Helper()
	text := eval[string](b, `JSON.stringify([...document.querySelectorAll("button, select, input:not([type=file]), summary, nav a, a.second, label.slab")]
		.filter(x => x.checkVisibility() && !x.closest("[inert]"))
		.map(x => [x.textContent.trim().slice(0, 30) || x.id, x.getBoundingClientRect()])
		.filter(([, r]) => r.width > 0 && (r.width < 43.5 || r.height < 43.5)).map(([n, r]) => n + " " + r.width + "x" + r.height))`)
	var out []string
	require.NoError(b.t, json.Unmarshal([]byte(text), &out))
	return out
}

func (b *browser) violations() string {
	b.t.Helper()
	return eval[string](b, `axe.run({resultTypes: ["violations"]}).then(r => r.violations.map(v => v.id + ": " + v.nodes.map(n => n.html.slice(0, 120) + " " + n.any.map(a => a.message).join()).join(" | ")).join("\n"))`)
}
