package onset_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/detection"
	"clapladder.example/assess/internal/figures"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/assess/internal/synth/warmups"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// listening is one class of recordings that detectors are compared on.
type listening struct {
	name   string
	preset string
	alone  bool // only the leader claps
	single bool // every stroke of everybody counts; otherwise the notes of the group's answers
}

// The classes of the comparison.
var listenings = []listening{
	{"one clapper", "ordinary", true, true},
	{"one clapper, hall", "hall", true, true},
	{"one clapper, babble", "babble", true, true},
	{"leader and one pupil", "one-pupil", false, true},
	{"group", "ordinary", false, false},
	{"group, hall", "hall", false, false},
	{"group of eight", "eight-people", false, false},
	{"group of sixty", "sixty-people", false, false},
	{"loose group", "loose-group", false, false},
}

// scene draws a warm-up of the class. 44.1 kHz is the rate that the other detector's settings are
// made for.
func (l listening) scene(seed uint64, bank []warmups.Item) synth.Scene {
	preset, _ := warmups.PresetNamed(l.preset)
	s := preset.Scene(seed, bank)
	s.Rate = 44100
	if l.single {
		s.Leader.Sound = sounds.Clap
		s.Flow.Practice, s.Flow.After = 0, 0
	}
	if l.alone {
		for i := range s.Calls {
			s.Calls[i].Answer = synth.Nothing
		}
	}
	return s
}

func (l listening) marks(truth synth.Truth) detection.Marks {
	if l.single {
		return detection.Strokes(truth)
	}
	return detection.Notes(truth)
}

// contender is a detector: times of what it hears in a WAV file.
type contender struct {
	name string
	// early is the seconds by which it is always early; added before hits are counted, not in the
	// signed error.
	early  float64
	detect func(path string) ([]float64, error)
}

func burstTimes(path string) ([]float64, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	stream, err := audio.Open(context.Background(), bytes.NewReader(data), audio.Options{})
	if err != nil {
		return nil, err
	}
	defer stream.Close()
	a, err := onset.Examine(context.Background(), stream)
	if err != nil {
		return nil, err
	}
	var times []float64
	for _, b := range a.Bursts() {
		times = append(times, b.Time)
	}
	return times, nil
}

// aubioEarly is aubio's mean signed error on single claps of the half that things were tuned on,
// seconds.
const aubioEarly = 0.0076

// aubio runs aubioonset (package aubio-tools) with the threshold and the shortest gap that do best
// on claps in rooms; its own defaults double many claps.
func aubio(method string) contender {
	return contender{"aubio " + method, aubioEarly, func(path string) ([]float64, error) {
		out, err := exec.Command("aubioonset", "-i", path, "-O", method, "-t", "0.45", "-M", "0.08").Output()
		if err != nil {
			return nil, fmt.Errorf("aubioonset: %w", err)
		}
		var times []float64
		for field := range strings.FieldsSeq(string(out)) {
			t, err := strconv.ParseFloat(field, 64)
			if err != nil {
				return nil, err
			}
			times = append(times, t)
		}
		return times, nil
	}}
}

// compareBank is the starter bank as the generator takes it.
func compareBank() []warmups.Item {
	var items []warmups.Item
	for _, g := range patterns.GradeBank(difficulty.DefaultModel(), bank.Starter()) {
		items = append(items, warmups.Item{Phrase: people.FromRhythm(g.ID, g.Phrase), Difficulty: g.Difficulty})
	}
	return items
}

const scenesPerClass = 12

// take is a recording on disk with its truth.
type take struct {
	path  string
	truth synth.Truth
}

func record(dir string, s synth.Scene) (take, error) {
	r, err := synth.Generate(s)
	if err != nil {
		return take{}, err
	}
	path := filepath.Join(dir, fmt.Sprintf("%s-%d.wav", s.Class, s.Seed))
	file, err := os.Create(path)
	if err != nil {
		return take{}, err
	}
	return take{path, r.Truth}, errors.Join(signal.WriteWAV(file, r.Samples, r.Rate), file.Close())
}

// seeds of the untouched half are odd, as in [warmups.Suite].
func compareSeed(class, i int, split warmups.Split) uint64 {
	return (uint64(class)*1009+uint64(i)*9176+77003)&^1 | uint64(split&1)
}

// BenchmarkOnsets prints how well bursts are found beside aubio, a general-purpose onset detector,
// on recordings that nothing was tuned on. Without aubio's columns where it is not installed.
func BenchmarkOnsets(b *testing.B) {
	contenders := []contender{{"bursts", 0, burstTimes}}
	if _, err := exec.LookPath("aubioonset"); err == nil {
		contenders = append(contenders, aubio("mkl"), aubio("hfc"))
	}
	bank, out := compareBank(), figures.To(b, "onsets.txt")
	for b.Loop() {
		dir := b.TempDir()
		fmt.Fprint(out, resultHeader)
		totals := map[string]*result{}
		var order []string
		for class, l := range listenings {
			takes := make([]take, scenesPerClass)
			for i := range takes {
				var err error
				takes[i], err = record(dir, l.scene(compareSeed(class, i, warmups.Untouched), bank))
				require.NoError(b, err)
			}
			all := "all groups"
			if l.single {
				all = "all single claps"
			}
			for _, c := range contenders {
				r := l.try(b, c, takes)
				fmt.Fprintln(out, r.row(l.name, c.name))
				key := all + " | " + c.name
				if totals[key] == nil {
					totals[key], order = new(result), append(order, key)
				}
				totals[key].add(r)
			}
		}
		for _, key := range order {
			recordings, detector, _ := strings.Cut(key, " | ")
			fmt.Fprintln(out, totals[key].row(recordings, detector))
		}
	}
}

// result is what a detector achieved on some recordings.
type result struct {
	wide, narrow  detection.Score // within 50 and 25 ms
	signed        float64         // sum of the errors of hits, seconds
	length, spent float64         // seconds
}

func (r *result) add(o result) {
	r.wide.Add(o.wide)
	r.narrow.Add(o.narrow)
	r.signed, r.length, r.spent = r.signed+o.signed, r.length+o.length, r.spent+o.spent
}

func (r *result) row(recordings, detector string) string {
	return fmt.Sprintf("| %s | %d | %s | %.3f | %.3f | %+.1f | %.0f |", recordings, r.wide.Marks, detector,
		r.wide.F(), r.narrow.F(), 1000*r.signed/math.Max(1, float64(r.wide.Hits)), r.length/r.spent)
}

const resultHeader = "\n| recordings | marks | detector | F ±50 ms | F ±25 ms |" +
	" mean signed error, ms | times real time |\n|---|---:|---|---:|---:|---:|---:|\n"

// try runs a detector on the recordings of the class.
func (l listening) try(tb testing.TB, c contender, takes []take) (r result) {
	for _, t := range takes {
		start := time.Now()
		found, err := c.detect(t.path)
		r.spent += time.Since(start).Seconds()
		require.NoError(tb, err)
		for i := range found {
			found[i] += c.early
		}
		r.length += t.truth.Duration
		m := l.marks(t.truth)
		s, signed := m.Compare(found, detection.Wide)
		r.wide.Add(s)
		for _, x := range signed {
			r.signed += x - c.early
		}
		s, _ = m.Compare(found, detection.Narrow)
		r.narrow.Add(s)
	}
	return r
}
