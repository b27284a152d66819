// Package realsound strings recorded sounds of others together for benchmarks: minutes in which nobody
// calls and nobody answers, and what warm-ups are built from. Nothing of them is kept in this project;
// an environment variable names the folders that hold them. Only tests use it, one at a time.
package realsound

import (
	"bytes"
	"context"
	"hash/fnv"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"clapladder.example/assess/audio"
	_ "clapladder.example/assess/audio/formats" // that sounds come in
)

// Variable names an environment variable with folders of recorded sounds, separated as in PATH: clips
// of environmental sounds and typing, spoken prompts, music on hold, drum loops and single strokes
// will do, as sample packages hold them. A file belongs to the class whose pattern its path fits.
const Variable = "SOUND_FOLDERS"

var soundEndings = []string{".wav", ".flac", ".ogg", ".g722"}

// Library holds the files found, sorted: all under "", and by the class of reels that they belong to.
type Library map[string][]string

// Find looks for sounds; it skips the test where no folder is named.
func Find(t testing.TB) Library {
	t.Helper()
	folders := filepath.SplitList(os.Getenv(Variable))
	if len(folders) == 0 {
		t.Skip("no folders of recorded sounds are named in " + Variable)
	}
	found := Library{}
	for _, folder := range folders {
		err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !slices.Contains(soundEndings, filepath.Ext(path)) {
				return err
			}
			found[""] = append(found[""], path)
			for _, c := range ReelClasses {
				if c.path != nil && c.path.MatchString(path) {
					found[c.Name] = append(found[c.Name], path)
					break
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, files := range found {
		slices.Sort(files)
	}
	for _, c := range ReelClasses {
		if c.of != "" {
			found[c.Name] = found[c.of]
		}
	}
	return found
}

// half are the files of a class that belong to the tuning half or to the untouched one; with few
// files both have all.
func (l Library) half(class string, untouched bool) []string {
	var out []string
	for _, f := range l[class] {
		h := fnv.New32a()
		h.Write([]byte(f))
		if (h.Sum32()>>3)%2 == 1 == untouched {
			out = append(out, f)
		}
	}
	if len(out) < 2 {
		return l[class]
	}
	return out
}

// Rate is that of all samples here, a second.
const Rate = 16000

var decoded = map[string][]float32{}

// Decode reads a file as mono samples at [Rate], loudest sample 1; the outcome is only to be read.
func Decode(t testing.TB, path string) []float32 {
	t.Helper()
	if x, ok := decoded[path]; ok {
		return x
	}
	var in io.Reader
	if filepath.Ext(path) == ".g722" {
		wav, err := exec.Command("ffmpeg", "-v", "error", "-f", "g722", "-i", path, "-f", "wav", "-").Output()
		if err != nil {
			t.Skipf("%s: %v", path, err)
		}
		in = bytes.NewReader(wav)
	} else {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		in = bytes.NewReader(data)
	}
	stream, err := audio.Open(context.Background(), in, audio.Options{})
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	defer stream.Close()
	var x []float32
	buffer := make([]float32, 8192)
	for {
		n, err := stream.Read(buffer)
		x = append(x, buffer[:n]...)
		if err != nil {
			break
		}
	}
	top := float32(1e-9)
	for _, v := range x {
		top = max(top, max(v, -v))
	}
	for i := range x {
		x[i] /= top
	}
	if len(decoded) < 4000 {
		decoded[path] = x
	}
	return x
}
