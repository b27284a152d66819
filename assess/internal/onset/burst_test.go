package onset_test

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/detection"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/assess/internal/synth/warmups"
)

// sound is samples that are read once.
type sound []float32

func (s *sound) Read(samples []float32) (int, error) {
	n := copy(samples, *s)
	*s = (*s)[n:]
	if len(*s) == 0 {
		return n, io.EOF
	}
	return n, nil
}

func burstsOf(tb testing.TB, samples []float32) []onset.Burst {
	tb.Helper()
	s := sound(samples)
	a, err := onset.Examine(context.Background(), &s)
	require.NoError(tb, err)
	return a.Bursts()
}

// hall makes sounds by itself, so that a mistake of the made-up warm-ups cannot hide one of the
// listener.
type hall struct {
	samples []float32
	rng     *rand.Rand
	ring    float64 // seconds in which the amplitude of the room falls to 1/e; 0 is outdoors
	direct  float64 // share of the energy that comes at once
}

func newHall(seconds, ring, direct float64) *hall {
	h := &hall{make([]float32, int(seconds*onset.SampleRate)), rand.New(rand.NewPCG(3, 4)), ring, direct}
	for i := range h.samples {
		h.samples[i] = float32(1e-4 * h.rng.NormFloat64())
	}
	return h
}

// clap adds noise that dies away within milliseconds and then with the room.
func (h *hall) clap(at, amplitude float64) {
	const dry = 0.003
	start := int(at * onset.SampleRate)
	wet := 0.0
	if h.ring > 0 {
		wet = math.Sqrt((1 - h.direct) / h.direct * dry / h.ring)
	}
	for i := start; i < min(len(h.samples), start+onset.SampleRate); i++ {
		t := float64(i-start) / onset.SampleRate
		level := math.Exp(-t / dry)
		if h.ring > 0 {
			level += wet * math.Exp(-t/h.ring)
		}
		h.samples[i] += float32(amplitude * level * h.rng.NormFloat64())
	}
}

// group adds one clap of many people and returns the mean of their times and the standard
// deviation.
func (h *hall) group(at, spread, amplitude float64, people int) (mean, sd float64) {
	times := make([]float64, people)
	for i := range times {
		times[i] = at + spread*h.rng.NormFloat64()
		mean += times[i] / float64(people)
	}
	for _, t := range times {
		h.clap(t, amplitude)
		sd += (t - mean) * (t - mean) / float64(people-1)
	}
	return mean, math.Sqrt(sd)
}

func TestSingleClapsAreFoundOnceAndWithoutBias(t *testing.T) {
	for _, room := range []struct {
		name         string
		ring, direct float64
	}{{"outdoors", 0, 1}, {"lively room", 0.09, 0.6}, {"hall", 0.25, 0.4}} {
		t.Run(room.name, func(t *testing.T) {
			h := newHall(14, room.ring, room.direct)
			var times []float64
			for at := 0.5; at < 13; at += 0.3 + 0.4*h.rng.Float64() {
				times = append(times, at)
				h.clap(at, 0.1*math.Exp(0.3*h.rng.NormFloat64()))
			}
			found := burstsOf(t, h.samples)
			require.Len(t, found, len(times))
			bias := 0.0
			for i, b := range found {
				assert.InDelta(t, times[i], b.Time, 0.005)
				assert.Zero(t, b.Width)
				bias += (b.Time - times[i]) / float64(len(found))
			}
			assert.InDelta(t, 0, bias, 0.002)
		})
	}
}

func TestClapOnTheFirstSampleCounts(t *testing.T) {
	h := newHall(3, 0.05, 0.6)
	h.clap(0, 0.1)
	h.clap(1, 0.1)
	h.clap(2, 0.1)
	found := burstsOf(t, h.samples)
	require.Len(t, found, 3)
	assert.InDelta(t, 0, found[0].Time, 0.002)
}

func TestGroupClapIsOneBurstAtItsMiddle(t *testing.T) {
	for _, spread := range []float64{0.02, 0.035} {
		t.Run(fmt.Sprintf("%.0f ms", 1000*spread), func(t *testing.T) {
			h := newHall(22, 0.12, 0.5)
			var means, sds []float64
			for i := range 5 { // the leader's claps tell what the room is like
				h.clap(0.5+0.6*float64(i), 0.1)
			}
			h.direct = 0.15 // the group stands farther away
			for i := range 24 {
				mean, sd := h.group(4+0.7*float64(i), spread, 0.03, 25)
				means, sds = append(means, mean), append(sds, sd)
			}
			found := burstsOf(t, h.samples)
			require.Len(t, found, 5+len(means))
			found = found[5:]
			var bias, width, sd float64
			for i, b := range found {
				assert.InDelta(t, means[i], b.Time, 0.025)
				bias += (b.Time - means[i]) / float64(len(found))
				width, sd = width+b.Width, sd+sds[i]
			}
			assert.InDelta(t, 0, bias, 0.008)
			assert.InDelta(t, 1, width/sd, 0.25)
		})
	}
}

func TestTailOfOneBurstIsNotThePowerOfTheNext(t *testing.T) {
	h := newHall(26, 0.3, 0.3)
	for i := range 5 {
		h.clap(0.5+0.6*float64(i), 0.1)
	}
	var loud, soft []float64
	for i := range 14 {
		at := 4 + 1.5*float64(i)
		h.group(at, 0.03, 0.06, 30)
		h.group(at+0.3, 0.03, 0.03, 30)
		loud, soft = append(loud, at), append(soft, at+0.3)
	}
	found := burstsOf(t, h.samples)
	power := func(times []float64) float64 {
		sum := 0.0
		for _, at := range times {
			for _, b := range found {
				if math.Abs(b.Time-at) < 0.06 {
					sum += b.Power
				}
			}
		}
		return sum / float64(len(times))
	}
	// Half the amplitude is 6.0 dB less.
	assert.InDelta(t, 6.0, 10*math.Log10(power(loud)/power(soft)), 1.5)
}

func TestPowerOfSingleClapsFollowsTheirEnergy(t *testing.T) {
	h := newHall(12, 0.1, 0.5)
	for i := range 16 {
		h.clap(0.5+0.7*float64(i), []float64{0.1, 0.05}[i%2])
	}
	found := burstsOf(t, h.samples)
	require.Len(t, found, 16)
	var sum [2]float64
	for i, b := range found {
		sum[i%2] += b.Power
	}
	assert.InDelta(t, 6.0, 10*math.Log10(sum[0]/sum[1]), 1)
}

func TestNothingClappedGivesNoBursts(t *testing.T) {
	steady := newHall(10, 0, 1).samples
	for name, samples := range map[string][]float32{
		"empty": nil, "one sample": {0.5}, "digital silence": make([]float32, 3*onset.SampleRate),
		"steady noise": steady,
	} {
		t.Run(name, func(t *testing.T) {
			found := burstsOf(t, samples)
			if name == "one sample" {
				assert.LessOrEqual(t, len(found), 1)
				return
			}
			assert.Empty(t, found)
		})
	}
}

func TestFaintRecordingIsHeardLikeALoudOne(t *testing.T) {
	h := newHall(6, 0.1, 0.4)
	for i := range 8 {
		h.clap(0.5+0.6*float64(i), 0.1)
	}
	loud := burstsOf(t, h.samples)
	require.Len(t, loud, 8)
	for i := range h.samples {
		h.samples[i] *= 0.002
	}
	faint := burstsOf(t, h.samples)
	require.Len(t, faint, 8)
	for i := range h.samples {
		h.samples[i] *= 1e-9 // nothing is left of it, but it must not stop the program
	}
	assert.NotPanics(t, func() { burstsOf(t, h.samples) })
}

func TestBurstsAreInOrderApartAndSane(t *testing.T) {
	preset, ok := warmups.PresetNamed("practice-only")
	require.True(t, ok)
	s := preset.Scene(4, compareBank())
	s.Rate = onset.SampleRate
	r, err := synth.Generate(s)
	require.NoError(t, err)
	samples := sound(r.Samples)
	a, err := onset.Examine(context.Background(), &samples)
	require.NoError(t, err)
	found := a.Bursts()
	require.NotEmpty(t, found)
	for i, b := range found {
		assert.True(t, b.Time >= 0 && b.Time <= a.Envelope.Seconds())
		assert.True(t, b.Power > 0 && !math.IsInf(b.Power, 0))
		assert.True(t, b.Width >= 0 && b.Width < 0.1)
		assert.True(t, b.Confidence >= 0.5 && b.Confidence <= 1)
		if i > 0 {
			assert.GreaterOrEqual(t, b.Time-found[i-1].Time, 0.05)
		}
	}
	assert.Equal(t, found, a.Bursts(), "the same again")
}

func TestTalkLaughterAndChairsAreNotClaps(t *testing.T) {
	preset, ok := warmups.PresetNamed("no-response")
	require.True(t, ok)
	s := preset.Scene(6, compareBank())
	s.Rate = onset.SampleRate
	s.Leader.Sound = sounds.Clap
	s.Background.Voices, s.Background.TalkDB, s.Background.Laughs, s.Background.Bumps = 4, -12, 4, 6
	r, err := synth.Generate(s)
	require.NoError(t, err)
	var times []float64
	for _, b := range burstsOf(t, r.Samples) {
		times = append(times, b.Time)
	}
	all, _ := detection.Strokes(r.Truth).Compare(times, detection.Narrow)
	assert.Greater(t, all.F(), 0.9)
}

func ExampleDetail_Bursts() {
	h := newHall(3, 0.1, 0.5)
	h.clap(0.5, 0.1)
	h.clap(1.0, 0.1)
	h.clap(2.0, 0.1)
	samples := sound(h.samples)
	a, err := onset.Examine(context.Background(), &samples)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, b := range a.Bursts() {
		fmt.Printf("%.2f s, width %.0f ms\n", b.Time, 1000*b.Width)
	}
	// Output:
	// 0.50 s, width 0 ms
	// 1.00 s, width 0 ms
	// 2.00 s, width 0 ms
}
