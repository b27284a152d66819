package onset_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/dsp/fourier"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/signal"
)

// place is a room with its noise for recorded sounds. Its reverberation is made here, so that a
// mistake of the made-up warm-ups cannot hide one of the listener.
type place struct {
	name    string
	rt60    float64 // seconds; 0 adds nothing to what the samples have themselves
	voices  int     // people talking
	noiseDB float64 // noise or talk over the mean power of the strokes
}

var (
	quiet  = place{"quiet", 0, 0, -60}
	places = []place{quiet, {"lively room", 0.6, 0, -40}, {"hall", 1.8, 0, -40}, {"babble", 0.6, 6, -5}}
)

// trebleDecay is how long treble rings relative to the rest: air and walls take it first. Common
// practice, no source.
const trebleDecay = 0.6

// Shares of the energy that come at once from a clapper beside the phone and from a group.
const (
	directNear = 0.5
	directFar  = 0.15
)

// stage is a recording in the making, at 44.1 kHz, the rate that the other detector's settings are
// made for.
type stage struct {
	near, far []float64 // what sounds beside the phone and where the group stands
	rng       *rand.Rand
}

const stageRate = 44100

func newStage(seconds float64, seed uint64) *stage {
	n := int(seconds * stageRate)
	return &stage{make([]float64, n), make([]float64, n), rand.New(rand.NewPCG(seed, 8))}
}

// lobes of the windowed sinc that reads a sound between its samples, and the number of places
// between two samples that it is tabulated for.
const (
	lobes  = 12
	phases = 128
)

var between = func() (table [phases][2 * lobes]float64) {
	for phase := range table {
		for k := range table[phase] {
			x := float64(phase)/phases + lobes - 1 - float64(k)
			table[phase][k] = 0.5 + 0.5*math.Cos(math.Pi*x/(lobes+1))
			if x != 0 {
				table[phase][k] *= math.Sin(math.Pi*x) / (math.Pi * x)
			}
		}
	}
	return table
}()

// add puts a sound into a channel so that it starts at a time. pitch is how much faster it is
// played.
func (s oneShot) add(channel []float64, at, level, pitch float64) {
	first := at - s.start/pitch
	last := first + float64(len(s.samples))/onset.SampleRate/pitch
	for i := max(0, int(first*stageRate)+1); i < min(len(channel), int(last*stageRate)); i++ {
		x := (float64(i)/stageRate - first) * pitch * onset.SampleRate
		k := int(x)
		weights := &between[int((x-float64(k))*phases)]
		k -= lobes - 1
		sum := 0.0
		for j := max(0, -k); j < min(2*lobes, len(s.samples)-k); j++ {
			sum += s.samples[k+j] * weights[j]
		}
		channel[i] += level * sum
	}
}

// stroke adds one stroke of a hand whose strokes vary by 3 dB and 3 % of pitch.
func (g *stage) stroke(s oneShot, at float64) {
	s.add(g.near, at, decibels(3*g.rng.NormFloat64()), 1+0.03*g.rng.NormFloat64())
}

func decibels(db float64) float64 { return math.Pow(10, db/20) }

// reverberant is a channel in a room: its own sound, and noise that dies away as the room does.
func (g *stage) reverberant(channel []float64, rt60, direct float64) []float64 {
	if rt60 == 0 || !slices.ContainsFunc(channel, func(v float64) bool { return v != 0 }) {
		return channel
	}
	n := int(1.1 * rt60 * stageRate)
	size := 1
	for size < len(channel)+n {
		size *= 2
	}
	room := make([]float64, size)
	energy, low := 0.0, 0.0
	for i := range n {
		white, t := g.rng.NormFloat64(), float64(i)/stageRate
		low += 0.35 * (white - low) // below about 3 kHz
		room[i] = low*math.Exp(-6.908*t/rt60) + (white-low)*math.Exp(-6.908*t/(trebleDecay*rt60))
		energy += room[i] * room[i]
	}
	for i := range n {
		room[i] *= math.Sqrt((1 - direct) / energy)
	}
	room[0] += math.Sqrt(direct)
	fft := fourier.NewFFT(size)
	dry := make([]float64, size)
	copy(dry, channel)
	a, b := fft.Coefficients(nil, dry), fft.Coefficients(nil, room)
	for i := range a {
		a[i] *= b[i] / complex(float64(size), 0)
	}
	return fft.Sequence(dry, a)[:len(channel)]
}

// mixed is the recording as the place gives it, 6 dB below full scale.
func (g *stage) mixed(tb testing.TB, p place) []float32 {
	near, far := g.reverberant(g.near, p.rt60, directNear), g.reverberant(g.far, p.rt60, directFar)
	near = slices.Clone(near)
	power := 0.0
	for i := range near {
		near[i] += far[i]
		power += near[i] * near[i]
	}
	noise := p.noise(tb, len(near))
	noisePower := 0.0
	for _, v := range noise {
		noisePower += float64(v) * float64(v)
	}
	level := decibels(p.noiseDB) * math.Sqrt(power/noisePower)
	peak := 0.0
	for i, v := range noise {
		near[i] += level * float64(v)
		peak = math.Max(peak, math.Abs(near[i]))
	}
	for i, v := range near {
		noise[i] = float32(0.5 * v / peak)
	}
	return noise
}

// beds are made-up recordings in which nobody claps, by the number of people talking.
var beds = map[int][]float32{}

// noise is a bed of n samples.
func (p place) noise(tb testing.TB, n int) []float32 {
	tb.Helper()
	if beds[p.voices] == nil {
		r, err := synth.Generate(synth.Scene{
			Seed: 12, Rate: stageRate, Flow: synth.Flow{TalkAfter: 30, LeaderDB: -60},
			Background: synth.Background{Voices: p.voices, NoiseDB: -40, TalkDB: -10},
		})
		require.NoError(tb, err)
		require.Empty(tb, r.Truth.Strokes)
		beds[p.voices] = r.Samples
	}
	require.LessOrEqual(tb, n, len(beds[p.voices]))
	return slices.Clone(beds[p.voices][:n])
}

func saveStage(tb testing.TB, path string, samples []float32) {
	tb.Helper()
	file, err := os.Create(path)
	require.NoError(tb, err)
	require.NoError(tb, errors.Join(signal.WriteWAV(file, samples, stageRate), file.Close()))
}

func TestRecordedSoundsStartWhereTheyArePut(t *testing.T) {
	click := oneShot{samples: make([]float64, 200), start: 80.0 / onset.SampleRate}
	click.samples[80] = 1
	for _, pitch := range []float64{0.9, 1, 1.1} {
		g := newStage(1, 1)
		click.add(g.near, 0.5, 1, pitch)
		wet := g.reverberant(g.near, 0.6, directNear)
		loudest := 0
		for i, v := range wet {
			if math.Abs(v) > math.Abs(wet[loudest]) {
				loudest = i
			}
		}
		assert.InDelta(t, 0.5*stageRate, loudest, 2)
	}
}
