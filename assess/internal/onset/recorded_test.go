package onset_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/detection"
	"clapladder.example/assess/internal/figures"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/synth/signal"
)

const strokesOfOne = 16

// oneHand is one sound struck over and over, 0.25 to 0.8 s apart, as a leader does.
func oneHand(seed uint64, s oneShot) (*stage, detection.Marks) {
	g := newStage(13, seed)
	m := detection.Marks{Spans: []signal.Span{{Start: 0, End: 12.8}}}
	at := 0.5
	for range strokesOfOne {
		m.Times = append(m.Times, at)
		g.stroke(s, at)
		at += 0.25 + 0.4*g.rng.Float64() + 0.15*g.rng.Float64()
	}
	return g, m
}

// twelveHands are people who each clap one of the sounds at a pitch of their own (SD 8 %), as loud
// as they are (SD 4 dB) and with their timing (SD 30 ms), after five claps of one of them beside
// the phone. The marks are the means of the times.
func twelveHands(seed uint64, hands []oneShot) (*stage, detection.Marks) {
	const people, notes, spread = 12, 24, 0.030
	g := newStage(22, seed)
	type person struct {
		sound        oneShot
		level, pitch float64
	}
	group := make([]person, people)
	for i := range group {
		group[i] = person{
			hands[g.rng.IntN(len(hands))], decibels(4*g.rng.NormFloat64() - 8), 1 + 0.08*g.rng.NormFloat64(),
		}
	}
	for i := range 5 {
		g.stroke(group[0].sound, 0.5+0.5*float64(i))
	}
	m := detection.Marks{Spans: []signal.Span{{Start: 3.5, End: 21.8}}}
	at := 4.0
	for range notes {
		mean := 0.0
		for _, p := range group {
			t := at + spread*g.rng.NormFloat64()
			mean += t / people
			p.sound.add(g.far, t, p.level*decibels(2*g.rng.NormFloat64()), p.pitch)
		}
		m.Times = append(m.Times, mean)
		at += 0.4 + 0.5*g.rng.Float64()
	}
	return g, m
}

// some are at most n of the sounds, from all over the list.
func some(sounds []oneShot, n int) []oneShot {
	if len(sounds) <= n {
		return sounds
	}
	out := make([]oneShot, n)
	for i := range out {
		out[i] = sounds[i*len(sounds)/n]
	}
	return out
}

// tryRecorded runs a detector on a recording.
func tryRecorded(tb testing.TB, c contender, path string, seconds float64, m detection.Marks) (r result) {
	start := time.Now()
	found, err := c.detect(path)
	require.NoError(tb, err)
	r.spent, r.length = time.Since(start).Seconds(), seconds
	for i := range found {
		found[i] += c.early
	}
	var signed []float64
	r.wide, signed = m.Compare(found, detection.Wide)
	for _, x := range signed {
		r.signed += x - c.early
	}
	r.narrow, _ = m.Compare(found, detection.Narrow)
	return r
}

// recordedClass is one row of the comparison: recordings of one kind of sound.
type recordedClass struct {
	name   string
	metric string // under which the benchmark reports it; "" for only in the table
	scenes int
	make   func(i int) (*stage, detection.Marks)
}

func recordedClasses(sounds []oneShot) (out []recordedClass) {
	metrics := map[string]string{clapKind: "clap", longClapKind: "long-clap"}
	kinds := []string{clapKind, longClapKind, snapKind, stickKind, snareKind, kickKind, handKind}
	for _, kind := range kinds {
		all := ofKind(sounds, kind)
		some := some(all, 8)
		out = append(out, recordedClass{
			fmt.Sprintf("%s, %d of %d sounds", kind, len(some), len(all)), metrics[kind], len(some),
			func(i int) (*stage, detection.Marks) { return oneHand(uint64(i), some[i]) },
		})
	}
	claps := ofKind(sounds, clapKind)
	return append(out, recordedClass{
		fmt.Sprintf("group of 12 hands, %d sounds", len(claps)), "group", 6,
		func(i int) (*stage, detection.Marks) { return twelveHands(uint64(100+i), claps) },
	})
}

// BenchmarkRecorded prints how well strokes are found whose sound was recorded, not made up:
// samples of claps and percussion laid at known times into rooms and noise that are made up.
func BenchmarkRecorded(b *testing.B) {
	sounds := oneShots(b, clapKind, snapKind, stickKind, snareKind, kickKind, handKind)
	contenders := []contender{{"bursts", 0, burstTimes}}
	if _, err := exec.LookPath("aubioonset"); err == nil {
		contenders = append(contenders, aubio("mkl"), aubio("hfc"))
	}
	path := filepath.Join(b.TempDir(), "recorded.wav")
	out := figures.To(b, "recorded.txt")
	for b.Loop() {
		fmt.Fprint(out, resultHeader)
		for _, class := range recordedClasses(sounds) {
			here := make([][]result, len(places))
			for q := range places {
				here[q] = make([]result, len(contenders))
			}
			for i := range class.scenes {
				g, m := class.make(i)
				for q, p := range places {
					saveStage(b, path, g.mixed(b, p))
					for j, c := range contenders {
						here[q][j].add(tryRecorded(b, c, path, float64(len(g.near))/stageRate, m))
					}
				}
			}
			if class.scenes == 0 {
				continue
			}
			all := make([]result, len(contenders))
			for q, p := range places {
				for j, c := range contenders {
					fmt.Fprintln(out, here[q][j].row(class.name+", "+p.name, c.name))
					all[j].add(here[q][j])
				}
			}
			for j, c := range contenders {
				fmt.Fprintln(out, all[j].row(class.name+", all places", c.name))
			}
			if class.metric != "" {
				b.ReportMetric(all[0].narrow.F(), class.metric+"-F25")
				b.ReportMetric(all[0].wide.F(), class.metric+"-F50")
				bias := 1000 * all[0].signed / math.Max(1, float64(all[0].wide.Hits))
				b.ReportMetric(bias, class.metric+"-bias-ms")
			}
		}
	}
}

// alone is where bursts are heard in a recording of one sound that starts after one second, in
// quiet.
func (s oneShot) alone(tb testing.TB) []float64 {
	tb.Helper()
	rng := rand.New(rand.NewPCG(5, 6))
	samples := make(sound, 3*onset.SampleRate)
	for i := range samples {
		samples[i] = float32(1e-4 * rng.NormFloat64())
	}
	first := onset.SampleRate - int(math.Round(s.start*onset.SampleRate))
	peak := 0.0
	for _, v := range s.samples {
		peak = math.Max(peak, math.Abs(v))
	}
	for i, v := range s.samples {
		samples[first+i] += float32(0.5 * v / peak)
	}
	a, err := onset.Examine(context.Background(), &samples)
	require.NoError(tb, err)
	var times []float64
	for _, b := range a.Bursts() {
		times = append(times, b.Time-1)
	}
	return times
}

func TestRecordedClapAloneIsFoundOnce(t *testing.T) {
	all := oneShots(t, clapKind, snapKind, stickKind)
	for _, law := range []struct {
		kind   string
		within float64 // seconds
	}{{clapKind, 0.025}, {longClapKind, 0.050}, {snapKind, 0.025}, {stickKind, 0.025}} {
		t.Run(law.kind, func(t *testing.T) {
			sounds := ofKind(all, law.kind)
			if len(sounds) == 0 {
				t.Skip("none among the samples here")
			}
			right := 0
			for _, s := range sounds {
				found := s.alone(t)
				if len(found) == 1 && math.Abs(found[0]) <= law.within {
					right++
					continue
				}
				t.Logf("%s: heard at %.3f s", s.name, found)
			}
			t.Logf("%d of %d", right, len(sounds))
			assert.GreaterOrEqual(t, float64(right), 0.9*float64(len(sounds)))
		})
	}
}
