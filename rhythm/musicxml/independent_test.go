package musicxml_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"clapladder.example/rhythm"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Another reader, the JavaScript package musicxml-io 0.9.6, must find our scores valid and the same
// durations in them. It knows no additive signatures. The test runs where Node.js finds that
// package (NODE_PATH) and is skipped elsewhere.
func TestAnotherReaderFindsTheScoreValid(t *testing.T) {
	const script = `
const { parse, validate } = require('musicxml-io');
const score = parse(require('fs').readFileSync(process.argv[1], 'utf8'));
const notes = score.parts[0].measures.map(m => m.entries.filter(e => e.type === 'note').map(n => n.rest ? -n.duration : n.duration));
console.log(JSON.stringify({ errors: validate(score).errors.map(e => e.message), notes }));`
	node, err := exec.LookPath("node")
	if err != nil || exec.Command(node, "-e", "require('musicxml-io')").Run() != nil {
		t.Skip("Node.js with the package musicxml-io is not here")
	}
	for _, c := range []struct {
		meter, boxes string
		want         [][]int // durations in divisions by bar, rests negative
	}{
		{"4/4", "x. .X xsx .", [][]int{{6, -3, 3, 2, 2, 2, -6}}},
		{"6/8", "x.x xx | . .", [][]int{{4, 2, 3, 3}, {-12}}},
		{"3/4", "x..x .x.. xxxxx", [][]int{{15, 5, -5, 15, 4, 4, 4, 4, 4}}},
		{"5/4=3+2", "x x x x xx", nil},
	} {
		path := filepath.Join(t.TempDir(), "phrase.musicxml")
		require.NoError(t, os.WriteFile(path,
			[]byte(write(t, rhythm.MustParse(c.boxes, c.meter, 96))), 0o600))
		out, err := exec.Command(node, "-e", script, path).Output()
		require.NoError(t, err)
		var got struct {
			Errors []string
			Notes  [][]int
		}
		require.NoError(t, json.Unmarshal(out, &got))
		if c.want == nil {
			continue // read without failing
		}
		assert.Empty(t, got.Errors, c.boxes)
		assert.Equal(t, c.want, got.Notes, c.boxes)
	}
}
