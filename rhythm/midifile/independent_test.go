package midifile_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
)

// Another reader, the JavaScript package midi-file 1.2.4, must find the same notes. The test runs
// where Node.js finds that package (NODE_PATH) and is skipped elsewhere.
func TestAnotherReaderFindsTheNotes(t *testing.T) {
	const script = `
const file = require('midi-file').parseMidi(require('fs').readFileSync(process.argv[1]));
const notes = [];
let at = 0;
for (const e of file.tracks[2]) { at += e.deltaTime; if (e.type === 'noteOn') notes.push([at, e.channel, e.noteNumber]); }
console.log(JSON.stringify(notes));`
	node, err := exec.LookPath("node")
	if err != nil || exec.Command(node, "-e", "require('midi-file')").Run() != nil {
		t.Skip("Node.js with the package midi-file is not here")
	}
	for _, c := range []struct {
		meter, boxes string
		want         [][3]int
	}{
		{"4/4", "x. .X xsx .", [][3]int{
			{1920, 9, 39},
			{2640, 9, 39},
			{2880, 9, 39},
			{3040, 9, 36},
			{3200, 9, 39},
		}},
		{"6/8", "x.x xx", [][3]int{{1440, 9, 39}, {1920, 9, 39}, {2160, 9, 39}, {2520, 9, 39}}},
		{"7/8=2+2+3", "x . ..n", [][3]int{{1680, 9, 39}, {3120, 9, 37}}},
	} {
		path := filepath.Join(t.TempDir(), "phrase.mid")
		require.NoError(t, os.WriteFile(path,
			write(t, rhythm.MustParse(c.boxes, c.meter, 96), midifile.WriteOptions{}), 0o600))
		out, err := exec.Command(node, "-e", script, path).Output()
		require.NoError(t, err)
		var got [][3]int
		require.NoError(t, json.Unmarshal(out, &got))
		assert.Equal(t, c.want, got, c.boxes)
	}
}
