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
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
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

// The classes of the comparison. A group's notes count where its claps spread by at least 30 ms.
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

const (
	leastSpread   = 0.030 // seconds
	leastTogether = 0.3   // participation of a note that counts
	// groupReach is the seconds around a note within which claps are part of its burst: two SD of a
	// group and the error of its lag.
	groupReach = 0.1
)

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

// marks are the times to be found. Detections near one of the others are neither right nor wrong:
// one person or a few people clapped there, and whether that is a burst is a matter of taste. Only
// detections within the spans count.
type marks struct {
	times  []float64
	others []float64
	spans  []signal.Span
}

func (l listening) marks(truth synth.Truth) marks {
	var m marks
	if l.single {
		for _, s := range truth.Strokes {
			m.times = append(m.times, s.Time)
		}
		m.spans = []signal.Span{{Start: 0, End: truth.Duration}}
		return m
	}
	for _, r := range truth.Rounds {
		if r.Response == nil || r.Response.Spread < leastSpread {
			continue
		}
		notes := r.Response.Notes
		first, last := notes[0].Time, notes[len(notes)-1].Time
		m.spans = append(m.spans, signal.Span{Start: first - 0.06, End: last + 0.3})
		for _, n := range notes {
			switch {
			case n.Participation >= leastTogether:
				m.times = append(m.times, n.Time)
			case n.Participation > 0:
				m.others = append(m.others, n.Time)
			}
		}
		for _, x := range r.Response.Extras {
			m.others = append(m.others, x.Time)
		}
	}
	slices.Sort(m.times)
	for _, s := range truth.Strokes {
		near := func(t float64) bool { return math.Abs(t-s.Time) <= groupReach }
		belongs := slices.ContainsFunc(m.times, near)
		if s.Role != synth.InCall && !belongs {
			m.others = append(m.others, s.Time)
		}
	}
	return m
}

// score counts what a detector got right at one window.
type score struct{ hits, truth, found int }

func (s score) f() float64 { return 2 * float64(s.hits) / math.Max(1, float64(s.truth+s.found)) }

func (s *score) add(o score) {
	s.hits, s.truth, s.found = s.hits+o.hits, s.truth+o.truth, s.found+o.found
}

// compare pairs detections with marks in order of time, each once; for points on a line that pairs
// as many as possible.
func (m marks) compare(found []float64, window float64) (s score, signed []float64) {
	s.truth = len(m.times)
	var loose []float64
	next := 0
	for _, t := range found {
		for next < len(m.times) && m.times[next] < t-window {
			next++
		}
		if next < len(m.times) && m.times[next] <= t+window {
			signed = append(signed, t-m.times[next])
			s.hits, s.found, next = s.hits+1, s.found+1, next+1
			continue
		}
		loose = append(loose, t)
	}
	for _, t := range loose {
		inside := slices.ContainsFunc(m.spans, func(p signal.Span) bool { return t >= p.Start && t <= p.End })
		near := slices.ContainsFunc(m.others, func(o float64) bool { return math.Abs(o-t) <= 0.05 })
		if inside && !near {
			s.found++
		}
	}
	return s, signed
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

// seeds of the untouched half are odd, as in [synth.Suite].
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
	wide, narrow  score   // within 50 and 25 ms
	signed        float64 // sum of the errors of hits, seconds
	length, spent float64 // seconds
}

func (r *result) add(o result) {
	r.wide.add(o.wide)
	r.narrow.add(o.narrow)
	r.signed, r.length, r.spent = r.signed+o.signed, r.length+o.length, r.spent+o.spent
}

func (r *result) row(recordings, detector string) string {
	return fmt.Sprintf("| %s | %d | %s | %.3f | %.3f | %+.1f | %.0f |", recordings, r.wide.truth, detector,
		r.wide.f(), r.narrow.f(), 1000*r.signed/math.Max(1, float64(r.wide.hits)), r.length/r.spent)
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
		s, signed := m.compare(found, 0.050)
		r.wide.add(s)
		for _, x := range signed {
			r.signed += x - c.early
		}
		s, _ = m.compare(found, 0.025)
		r.narrow.add(s)
	}
	return r
}

func TestDetectionsArePairedWithMarksOnce(t *testing.T) {
	m := marks{times: []float64{1, 2, 3}, others: []float64{2.5}, spans: []signal.Span{{Start: 0.5, End: 3.5}}}
	for _, test := range []struct {
		name       string
		found      []float64
		hits, seen int
	}{
		{"all right", []float64{1, 2.02, 2.98}, 3, 3},
		{"one heard twice", []float64{1, 1.01, 2, 3}, 3, 4},
		{"one missed", []float64{1, 3}, 2, 2},
		{"one too far off", []float64{1.06, 2, 3}, 2, 3},
		{"near what may be heard", []float64{1, 2, 2.52, 3}, 3, 3},
		{"outside the spans", []float64{0.2, 1, 2, 3, 9}, 3, 3},
		{"nothing found", nil, 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			s, _ := m.compare(test.found, 0.05)
			require.Equal(t, score{test.hits, 3, test.seen}, s)
		})
	}
}
