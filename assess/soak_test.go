package assess_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// quickWarmUps are some short recordings in files of several kinds.
func quickWarmUps(t *testing.T) [][]byte {
	t.Helper()
	var files [][]byte
	calls := synth.DemoScene().Calls
	for i := range 3 {
		scene := synth.DemoScene()
		scene.Seed, scene.Calls = uint64(i), calls[2*i:2*i+2]
		scene.Flow.TalkBefore, scene.Flow.TalkAfter, scene.Flow.Practice, scene.Flow.After = 0, 0, 0, 0
		recording, err := synth.Generate(scene)
		require.NoError(t, err)
		var file bytes.Buffer
		require.NoError(t, signal.WriteWAV(&file, recording.Samples, recording.Rate))
		files = append(files, file.Bytes())
	}
	for _, name := range []string{
		"claps.m4a", "claps-44100.mp3", "claps.ogg", "claps-celt.opus",
		"claps-22050.flac",
	} {
		file, err := os.ReadFile(filepath.Join("audio", "testdata", name))
		require.NoError(t, err)
		files = append(files, file, file[:len(file)/2])
	}
	return files
}

// answer is everything that came of a recording, as text.
func answer(t *testing.T, file []byte, phrases *bank.Bank, o assess.Options) (string, *assess.Report) {
	report, err := assess.Recording(t.Context(), bytes.NewReader(file), phrases, o)
	if err != nil {
		return err.Error(), nil
	}
	text, err := json.Marshal(report)
	assert.NoError(t, err)
	return string(text), report
}

// A bank, a repertoire, a model and options are only read, so that one set of them serves any
// number of goroutines.
func TestOneBankServesManyAtOnce(t *testing.T) {
	phrases := bank.Starter()
	o := assess.Options{
		Repertoire: bank.StarterRepertoire(), Model: difficulty.DefaultModel(),
		Order: []string{"row", "gangway"},
	}
	files := quickWarmUps(t)[:5]
	var want []string
	for _, file := range files {
		text, _ := answer(t, file, phrases, o)
		want = append(want, text)
	}
	var wait sync.WaitGroup
	for range 3 {
		for i, file := range files {
			wait.Go(func() {
				got, _ := answer(t, file, phrases, o)
				assert.True(t, got == want[i], "file %d gave another report", i)
			})
		}
	}
	wait.Wait()
}

// level is what a process holds on to.
type level struct {
	heap              uint64 // bytes in use after a collection
	files, goroutines int
}

func levelNow(t *testing.T) level {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	open, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Skip("open files can't be counted here")
	}
	return level{m.HeapAlloc, len(open), runtime.NumGoroutine()}
}

// TestSoak listens to warm-ups again and again: SOAK=400 go test -run Soak -v
// -timeout 0 ./assess. Nothing may grow, and each recording must give the same report each time.
func TestSoak(t *testing.T) {
	passes, err := strconv.Atoi(os.Getenv("SOAK"))
	if err != nil || passes < 2 {
		t.Skip("SOAK says how often")
	}
	phrases := bank.Starter()
	o := assess.Options{Repertoire: bank.StarterRepertoire()}
	files := quickWarmUps(t)
	first := make([]string, len(files))
	var settled level
	begun, heard := time.Now(), 0.0
	for pass := range passes {
		for i, file := range files {
			text, report := answer(t, file, phrases, o)
			if pass == 0 {
				first[i] = text
			}
			require.True(t, text == first[i], "pass %d: file %d gave another report", pass, i)
			if report != nil {
				heard += report.Recording.Duration
			}
		}
		if pass == 1 || pass == passes/2 || pass == passes-1 {
			now := levelNow(t)
			if pass == 1 {
				settled = now
			}
			t.Logf("pass %d: %.0f s heard, %.2f MiB in use, %d files open, %d goroutines",
				pass+1, heard, float64(now.heap)/(1<<20), now.files, now.goroutines)
			assert.Less(t, now.heap, settled.heap+1<<20)
			assert.LessOrEqual(t, now.files, settled.files)
			assert.LessOrEqual(t, now.goroutines, settled.goroutines)
		}
	}
	t.Logf("%d passes in %s", passes, time.Since(begun).Round(time.Second))
}
