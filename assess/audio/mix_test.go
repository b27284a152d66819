package audio_test

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// floatFile is a WAV of 32-bit floats at the analysis rate, channels side by side.
func floatFile(channels ...[]float64) []byte {
	spec := wavSpec{tag: 3, channels: len(channels), rate: audio.Rate, bits: 32}
	return wavFile(spec, encode(spec, interleave(channels...)))
}

func scaled(x []float64, by float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = v * by
	}
	return out
}

func noise(n int, level float64, seed uint64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 1))
	out := make([]float64, n)
	for i := range out {
		out[i] = level * rng.NormFloat64()
	}
	return out
}

func sum(a, b []float64) []float64 {
	out := make([]float64, len(a))
	for i := range a {
		out[i] = a[i] + b[i]
	}
	return out
}

// levelAgainst is the level of got against want in dB, and their correlation.
func levelAgainst(got []float32, want []float64) (db, correlation float64) {
	var gg, ww, gw float64
	for i := range got {
		g := float64(got[i])
		gg, ww, gw = gg+g*g, ww+want[i]*want[i], gw+g*want[i]
	}
	return 10 * math.Log10(gg/ww), gw / math.Sqrt(gg*ww)
}

func TestClapsSurviveWhateverTheChannelsDo(t *testing.T) {
	claps := clapTrain(audio.Rate, 9, 0.001)
	hiss := func(seed uint64) []float64 { return noise(len(claps), 0.001, seed) }
	zero := make([]float64, len(claps))
	var late []float64 // the same sound 0.3 ms later, as on the far side of a phone
	late = append(append(late, make([]float64, 5)...), claps[:len(claps)-5]...)
	inverted := scaled(claps, -1)
	for name, test := range map[string]struct {
		channels [][]float64
		level    float64 // dB, at least
		codes    []string
	}{
		"both good":     {[][]float64{sum(claps, hiss(1)), sum(claps, hiss(2))}, -0.1, nil},
		"right quieter": {[][]float64{claps, sum(scaled(claps, 0.5), hiss(2))}, -3, nil},
		"right dead":    {[][]float64{claps, zero}, -0.1, []string{"dead-channel"}},
		"left dead":     {[][]float64{zero, claps}, -0.1, []string{"dead-channel"}},
		"right only hisses softly": {
			[][]float64{claps, noise(len(claps), 1e-5, 3)},
			-0.1,
			[]string{"dead-channel"},
		},
		"inverted": {
			[][]float64{claps, sum(inverted, hiss(2))},
			-0.1,
			[]string{"inverted-channel"},
		},
		"inverted, quieter, first": {
			[][]float64{scaled(inverted, 0.4), claps},
			-4,
			[]string{"inverted-channel"},
		},
		"late":             {[][]float64{claps, late}, -6, nil},
		"different sounds": {[][]float64{claps, noise(len(claps), 0.02, 9)}, -6.1, nil},
		"six, four of them dead": {
			[][]float64{zero, claps, zero, zero, claps, zero},
			-0.1,
			[]string{"dead-channel"},
		},
		"three, one inverted": {[][]float64{claps, inverted, claps}, -0.1, []string{"inverted-channel"}},
		"one, with a large offset": {
			[][]float64{sum(claps, constant(len(claps), 0.1))},
			-0.1,
			[]string{"dc-offset"},
		},
		"dead channel with offset": {
			[][]float64{claps, constant(len(claps), 0.05)},
			-0.1,
			[]string{"dc-offset", "dead-channel"},
		},
		"both with their own offset": {[][]float64{
			sum(claps, constant(len(claps), 0.03)), sum(claps, constant(len(claps), -0.04)),
		}, -0.1, []string{"dc-offset"}},
	} {
		t.Run(name, func(t *testing.T) {
			res := mustDecode(t, floatFile(test.channels...))
			require.Len(t, res.samples, len(claps))
			db, r := levelAgainst(res.samples, claps)
			assert.GreaterOrEqual(t, db, test.level)
			assert.Less(t, db, 0.5)
			assert.Greater(t, math.Abs(r), 0.5)
			assert.Equal(t, test.codes, res.codes())
			assert.InDelta(t, 0, mean(res.samples), 0.0015)
		})
	}
}

func constant(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

func mean(x []float32) float64 {
	s := 0.0
	for _, v := range x {
		s += float64(v)
	}
	return s / float64(len(x))
}

func TestChannelThatDiesOnTheWay(t *testing.T) {
	claps := clapTrain(audio.Rate, 12, 0.001)
	right := append(append([]float64(nil), claps[:6*audio.Rate]...), make([]float64, 6*audio.Rate)...)
	res := mustDecode(t, floatFile(claps, right))
	assert.Equal(t, []string{"dead-channel"}, res.codes())
	for _, part := range [][2]int{{0, 5}, {6, 12}} {
		from, to := part[0]*audio.Rate, part[1]*audio.Rate
		db, r := levelAgainst(res.samples[from:to], claps[from:to])
		assert.InDelta(t, 0, db, 0.3, "seconds %v", part)
		assert.Greater(t, r, 0.99) // a clap falls into the 20 ms of the change
	}
}

func TestPolarityAndGainOfTheFileDoNotMatter(t *testing.T) {
	claps := clapTrain(audio.Rate, 4, 0.001)
	want := mustDecode(t, floatFile(claps)).samples
	flipped := mustDecode(t, floatFile(scaled(claps, -1))).samples
	soft := mustDecode(t, floatFile(scaled(claps, 0.125))).samples
	for i := range want {
		require.Equal(t, want[i], -flipped[i])
		require.Equal(t, want[i]/8, soft[i])
	}
}

func TestOffsetIsOnlyTakenOutWhereThereIsOne(t *testing.T) {
	n := 5 * audio.Rate
	rumble := make([]float64, n)
	burst := clapTrain(audio.Rate, 5, 0.0005)
	for i := range rumble {
		rumble[i] = 0.3 * math.Sin(2*math.Pi*0.7*float64(i)/audio.Rate)
	}
	for name, x := range map[string][]float64{
		"rumble": rumble, "noise": noise(n, 0.2, 4), "claps": burst,
		"tiny offset": sum(burst, constant(n, 0.0004)),
	} {
		res := mustDecode(t, floatFile(x))
		for i := range x {
			require.Equal(t, float32(x[i]), res.samples[i], name)
		}
	}
	// Digital silence first, then sound with an offset.
	x := append(make([]float64, audio.Rate/3), sum(burst, constant(n, 0.06))...)
	res := mustDecode(t, floatFile(x))
	assert.InDelta(t, 0, mean(res.samples[audio.Rate:]), 0.001)
	assert.Contains(t, res.codes(), "dc-offset")
}

func TestReadSizesDoNotChangeTheStream(t *testing.T) {
	claps := clapTrain(44100, 4, 0.001)
	spec := wavSpec{tag: 1, channels: 2, rate: 44100, bits: 16}
	file := wavFile(spec, pcm16(interleave(claps, scaled(claps, -0.8))))
	want := mustDecode(t, file)
	for _, size := range []int{1, 7, 1000, 100000} {
		s, err := audio.Open(t.Context(), bytes.NewReader(file), noFFmpeg)
		require.NoError(t, err)
		var got []float32
		buf := make([]float32, size)
		for err == nil {
			var n int
			n, err = s.Read(buf)
			got = append(got, buf[:n]...)
		}
		require.Equal(t, want.samples, got, "pieces of %d", size)
		assert.Equal(t, want.warnings, s.Warnings())
		require.NoError(t, s.Close())
	}
}
