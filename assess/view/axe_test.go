package view

import (
	"cmp"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPagesHaveNoAccessibilityViolations runs axe-core, a checker of the WCAG rules, on the pages
// in headless Chromium, as wide as a phone and a desk's screen, light and dark, with everything
// unfolded. It needs the path of axe.min.js, from "npm install axe-core", in AXE, and Chromium, in
// CHROMIUM or on the PATH; otherwise it is skipped.
func TestPagesHaveNoAccessibilityViolations(t *testing.T) {
	axe, err := os.ReadFile(os.Getenv("AXE"))
	if err != nil {
		t.Skip("AXE does not name axe.min.js")
	}
	browser, err := exec.LookPath(cmp.Or(os.Getenv("CHROMIUM"), "chromium"))
	if err != nil {
		t.Skip("no Chromium in CHROMIUM or on the PATH")
	}
	pages, err := filepath.Glob(filepath.Join("testdata", "*.html"))
	require.NoError(t, err)
	require.NotEmpty(t, pages)
	for _, name := range pages {
		for _, look := range []struct {
			width  int
			scheme string // Chromium's number of it
		}{{360, "1"}, {1200, "1"}, {1200, "0"}} {
			t.Run(fmt.Sprintf("%s at %d, scheme %s", filepath.Base(name), look.width, look.scheme),
				func(t *testing.T) {
					html, err := os.ReadFile(name)
					require.NoError(t, err)
					probe := `<script>` + string(axe) + `</script><script>axe.run({resultTypes:["violations"]}).then(r=>{` +
						`document.documentElement.setAttribute("data-axe", r.violations.length + " of " + (r.violations.length+r.passes.length) + ": " +` +
						`r.violations.map(v=>v.id+" "+v.nodes.map(n=>n.html.slice(0,120)+" "+n.any.map(a=>a.message).join()).join(" | ")).join(" || "))})</script></body>`
					path := filepath.Join(t.TempDir(), "page.html")
					require.NoError(t, os.WriteFile(path,
						[]byte(strings.NewReplacer("</body>", probe, "<details>",
							"<details open>").Replace(string(html))), 0o644))
					out, err := exec.CommandContext(t.Context(), browser, "--headless", "--no-sandbox",
						"--disable-gpu", "--virtual-time-budget=20000",
						"--blink-settings=preferredColorScheme="+look.scheme,
						fmt.Sprintf("--window-size=%d,1600", look.width), "--dump-dom",
						"file://"+path).Output()
					require.NoError(t, err)
					found := regexp.MustCompile(`data-axe="([^"]*)"`).FindSubmatch(out)
					require.NotNil(t, found, "axe did not finish")
					t.Log(string(found[1]))
					assert.NotEqual(t, "0 of 0: ", string(found[1]), "nothing was checked")
					assert.True(t, strings.HasPrefix(string(found[1]), "0 of "), string(found[1]))
				})
		}
	}
}
