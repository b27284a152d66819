package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

// badFiles makes one file for each way in which people give the wrong one.
func badFiles(t *testing.T) (folder string) {
	t.Helper()
	folder = t.TempDir()
	for name, content := range map[string]string{
		"typo.toml":  "[[phrase]]\nid = \"mast\"\nmeter = \"4/4\"\nrythm = \"x x xx x\"\n",
		"short.toml": "[[phrase]]\nid = \"mast\"\nmeter = \"4/4\"\nrhythm = \"x x xx\"\n",
		"text.wav":   "Dear all, the warm-up is on Tuesday.\n",
		"empty.wav":  "",
		"empty.toml": "",
		"photo.jpg":  "\xff\xd8\xff\xe0\x00\x10JFIF\x00" + strings.Repeat("\x00\x7f", 600),
		"half.wav":   "RIFF\x24\x00\x00\x00WAVEfmt ",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(content), 0o644))
	}
	return folder
}

func TestAFileThatCannotBeUsedIsOneClearLineAndStatusThree(t *testing.T) {
	folder := badFiles(t)
	for _, test := range []struct {
		name string
		args []string // file names are completed with the folder
		want string   // the folder is left out
	}{
		{"a typing error in a bank", []string{"grade", "@typo.toml"}, `clapladder: typo.toml, line 4, column 1: a phrase has no key "rythm"; write rhythm`},
		{"a bar that is too short", []string{"grade", "@short.toml"}, `clapladder: short.toml, line 4,`},
		{"the same for a recording's bank", []string{"score", "x.wav", "--bank", "@typo.toml"}, `clapladder: typo.toml, line 4, column 1: a phrase has no key "rythm"; write rhythm`},
		{"an empty bank", []string{"grade", "@empty.toml"}, `clapladder: empty.toml: `},
		{"a bank that is not there", []string{"grade", "@nowhere.toml"}, `clapladder: nowhere.toml: there is no such file; check the name and the folder`},
		{"a folder for a bank", []string{"grade", "@"}, `clapladder: : this is a folder; name a file in it`},
		{"a picture for a bank", []string{"grade", "@photo.jpg"}, `clapladder: photo.jpg: this is `},
		{"a repertoire that is a bank", []string{"grade", "-r", "@typo.toml"}, `clapladder: typo.toml, line 1,`},
		{"text that is called wav", []string{"score", "@text.wav"}, `clapladder: text.wav: `},
		{"an empty recording", []string{"score", "@empty.wav"}, `clapladder: empty.wav: `},
		{"a recording that ends before it begins", []string{"score", "@half.wav"}, `clapladder: half.wav: `},
		{"a picture for a recording", []string{"score", "@photo.jpg"}, `clapladder: photo.jpg: `},
		{"a folder for taps", []string{"score", "--taps", "@"}, `clapladder: : this is a folder; name a file in it`},
		{"a recording that is not there", []string{"score", "@nowhere.wav"}, `clapladder: nowhere.wav: there is no such file; check the name and the folder`},
		{"a file to check that is not there", []string{"check", "@nowhere.toml"}, `clapladder: nowhere.toml: there is no such file; check the name and the folder`},
	} {
		t.Run(test.name, func(t *testing.T) {
			args := make([]string, len(test.args))
			for i, a := range test.args {
				if rest, ok := strings.CutPrefix(a, "@"); ok {
					a = filepath.Join(folder, rest)
				}
				args[i] = a
			}
			got := execute(t, "", args...)
			text := strings.ReplaceAll(strings.ReplaceAll(got.stderr, folder+"/", ""), folder, "")
			assert.Equal(t, fault.ExitInput, got.status, text)
			assert.Empty(t, got.stdout)
			assert.Equal(t, 1, strings.Count(text, "\n"), "one line: %s", text)
			assert.True(t, strings.HasPrefix(text, test.want), "%s", text)
			assert.Greater(t, len(strings.TrimSpace(text)), len(test.want)-1)
			t.Log(text)
		})
	}
}

func TestStandardInputIsNamedInWords(t *testing.T) {
	got := execute(t, "", "score", "-")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Contains(t, got.stderr, "clapladder: standard input: ")
	got = execute(t, "[[phrase]]\nid = 3\n", "grade", "-")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Contains(t, got.stderr, "clapladder: standard input, line 1, column 1: ")
	assert.Contains(t, got.stderr, "(1 more problem); to see them all: clapladder check -\n")
}

func TestAPhraseThatCannotBeReadShowsThePlace(t *testing.T) {
	got := execute(t, "", "show", "--rhythm", "x xq . x")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Empty(t, got.stdout)
	lines := strings.Split(got.stderr, "\n")
	require.Len(t, lines, 4)
	assert.Contains(t, lines[0], `clapladder: --rhythm: column 4: `)
	assert.Equal(t, "    x xq . x", lines[1])
	assert.Equal(t, "       ^", lines[2])
	got = execute(t, "", "show", "--rhythm", "x x", "--meter", "5/8")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Contains(t, got.stderr, "--meter: column 1: ")
	assert.Contains(t, got.stderr, "5/8=2+3")
}
