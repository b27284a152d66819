package onset

import (
	"context"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// samplesReader hands out samples in chunks of a size that next gives.
type samplesReader struct {
	samples []float32
	next    func() int
	err     error // instead of io.EOF
	early   bool  // the end comes with the last samples
}

func (r *samplesReader) Read(dst []float32) (int, error) {
	end := r.err
	if end == nil {
		end = io.EOF
	}
	if len(r.samples) == 0 {
		return 0, end
	}
	n := len(dst)
	if r.next != nil {
		n = min(n, r.next())
	}
	n = copy(dst[:n], r.samples)
	r.samples = r.samples[n:]
	if len(r.samples) == 0 && r.early {
		return n, end
	}
	return n, nil
}

func read(t testing.TB, samples []float32) *bands {
	g := newGrowingBands(0)
	require.NoError(t, g.read(context.Background(), &samplesReader{samples: samples}))
	return &g.scan.recent
}

func noise(r *rand.Rand, n int, level float64) []float32 {
	out := make([]float32, n)
	for i := range out {
		out[i] = float32(level * r.NormFloat64())
	}
	return out
}

func TestHowSoundIsCutDoesNotMatter(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	samples := noise(r, 3*SampleRate/2+77, 0.1)
	whole := read(t, samples)
	frames := (len(samples) + frameSamples - 1) / frameSamples
	assert.Equal(t, frames, whole.frames(), "the last frame is filled with silence")
	assert.InDelta(t, 1.506, whole.envelope().Seconds(), 1e-9)
	for law, reader := range map[string]*samplesReader{
		"sample by sample":               {next: func() int { return 1 }},
		"odd chunks":                     {next: func() int { return 1 + r.IntN(3000) }},
		"now and then nothing":           {next: func() int { return r.IntN(200) }},
		"the end with the last samples":  {next: func() int { return 1000 }, early: true},
		"all at once":                    {early: true},
		"chunks of whole frames exactly": {next: func() int { return frameSamples }},
	} {
		t.Run(law, func(t *testing.T) {
			reader.samples = samples
			g := newGrowingBands(0)
			require.NoError(t, g.read(t.Context(), reader))
			assert.Equal(t, whole.band, g.scan.recent.band)
			assert.Equal(t, whole.envelope(), g.envelope())
		})
	}
}

func TestNothingGivesAnEmptyEnvelope(t *testing.T) {
	e := read(t, nil)
	assert.Zero(t, e.frames())
	a, err := Analyse(t.Context(), &samplesReader{})
	require.NoError(t, err)
	assert.Empty(t, a.Attacks)
	assert.Greater(t, a.ClapFloor(3), 0.0)
	medium := Kernel{Direct: directDefault, Decay: decayDefault}
	assert.Equal(t, medium, a.Kernel, "a medium room where nothing is known")
}

func TestErrorsOfTheReaderAreWrapped(t *testing.T) {
	broken := errors.New("the plug is out")
	_, err := Analyse(t.Context(), &samplesReader{samples: make([]float32, 100), err: broken})
	assert.ErrorIs(t, err, broken)
	assert.EqualError(t, err, "reading sound: the plug is out")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = Analyse(ctx, &samplesReader{samples: make([]float32, 100)})
	assert.ErrorIs(t, err, context.Canceled)
}

// A full-scale sine has mean power 1/2.
func TestBandsHoldMeanPower(t *testing.T) {
	for _, test := range []struct {
		law       string
		frequency float64
		band      int
	}{
		{"talk", 400, lowBand},
		{"the body of a clap", 1800, midBand},
		{"high", 4100, highBand},
		{"bright", 7000, brightBand},
	} {
		t.Run(test.law, func(t *testing.T) {
			e := read(t, sine(test.frequency, SampleRate))
			for b := range bandCount {
				mean := 0.0
				for _, x := range e.band[b][100:400] {
					mean += float64(x) / 300
				}
				if b == test.band {
					assert.InDelta(t, 0.5, mean, 0.06)
				} else {
					assert.Less(t, mean, 0.06, "band %d", b)
				}
			}
			for i := range e.clap {
				sum := e.band[midBand][i] + e.band[highBand][i] + e.band[brightBand][i]
				require.InDelta(t, sum, e.clap[i], 0.02, "the sum, but for the filters' ringing")
			}
		})
	}
}

func sine(frequency float64, n int) []float32 {
	out := make([]float32, n)
	for i := range out {
		out[i] = float32(math.Sin(2 * math.Pi * frequency * float64(i) / SampleRate))
	}
	return out
}

// The Butterworth law of order 4, |H|² = 1/(1+(fc/f)^8) (Butterworth 1930; the formula from
// memory), with both frequencies bent by the bilinear transform, tan(πf/rate).
func TestFiltersFollowTheButterworthLaw(t *testing.T) {
	for _, edge := range bandEdges {
		for _, frequency := range []float64{0.5 * edge, 0.8 * edge, edge, 1.3 * edge, min(3*edge, 7500)} {
			filter, beside := butterworth(edge, SampleRate), butterworth(bandEdges[lowBand], SampleRate)
			frames, _ := powers(&filter, &beside, nil, nil, sine(frequency, SampleRate))
			power := 0.0
			for _, p := range frames[FrameRate/2:] {
				power += float64(p) / (FrameRate / 2)
			}
			bend := func(f float64) float64 { return math.Tan(math.Pi * f / SampleRate) }
			want := 1 / (1 + math.Pow(bend(edge)/bend(frequency), 8))
			got := 10 * math.Log10(2*power)
			assert.InDelta(t, 10*math.Log10(want), got, 0.1, "edge %g Hz at %g Hz", edge, frequency)
		}
	}
}

func TestRankedIsWhatSortingGives(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for n := 1; n < 60; n++ {
		x := make([]float32, n)
		for i := range x {
			x[i] = float32(r.IntN(20)) // many equal ones
		}
		sorted := slices.Sorted(slices.Values(x))
		for k := range x {
			assert.Equal(t, sorted[k], ranked(slices.Clone(x), k))
		}
	}
}

func TestFloorIsTheBackgroundNotTheSound(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	band := make([]float32, 20*FrameRate)
	for i := range band {
		band[i] = float32(1e-4 * (0.5 + r.Float64()))
		if i%FrameRate < FrameRate/4 { // a quarter of the time something sounds
			band[i] = 0.1
		}
	}
	f := newFloor(band)
	for _, frame := range []int{-5, 0, 3000, 9999, 1 << 30} {
		assert.InDelta(t, 0.7e-4, f.At(frame), 0.25e-4)
	}
	silence := newFloor(make([]float32, 4000))
	assert.InDelta(t, silentPower, silence.At(7), 1e-15, "digital silence is not a background")
	assert.InDelta(t, silentPower, newFloor(nil).At(0), 1e-15)
}

// newFloor is the background of a band that is at hand.
func newFloor(band []float32) Floor {
	var f growingFloor
	f.take(band, 0, true)
	return f.from(0)
}

func TestALongRecordingIsKeptInPartsAndComesOutWhole(t *testing.T) {
	samples := noise(rand.New(rand.NewPCG(5, 6)), (2*partFrames+1000)*frameSamples, 0.1)
	var filters [bandCount]cascade
	for b, edge := range bandEdges {
		filters[b] = butterworth(edge, SampleRate)
	}
	want := new(bands)
	want.append(&filters, samples)
	g := newGrowingBands(dropAll)
	require.NoError(t, g.read(t.Context(), &samplesReader{samples: samples}))
	assert.Less(t, g.scan.recent.frames(), 3*searchFrames, "what is searched is dropped")
	assert.Equal(t, want.envelope(), g.envelope())
}
