package audio_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/audio"
)

func wav16(rate int, channels ...[]float64) []byte {
	return wavFile(wavSpec{tag: 1, channels: len(channels), rate: rate, bits: 16},
		pcm16(interleave(channels...)))
}

// limited cuts x off at the level.
func limited(x []float64, level float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = math.Max(-level, math.Min(level, v))
	}
	return out
}

func TestWarningsOfHealth(t *testing.T) {
	const rate = 44100
	claps := clapTrain(rate, 12, 0.001)
	silentAt := func(x []float64, spans ...[2]float64) []float64 {
		out := append([]float64(nil), x...)
		for _, s := range spans {
			clear(out[int(s[0]*rate):int(s[1]*rate)])
		}
		return out
	}
	hum := make([]float64, len(claps))
	for i := range hum {
		hum[i] = 0.05 * math.Sin(2*math.Pi*120*float64(i)/rate)
	}
	for name, test := range map[string]struct {
		file []byte
		code string
		text string
	}{
		"clipped at full scale": {
			wav16(rate, limited(scaled(claps, 6), 1)), "clipped",
			"loud moments are clipped",
		},
		"clipped by the microphone": {
			wav16(rate, limited(scaled(claps, 3), 0.6)),
			"clipped", "put the phone further away",
		},
		"clipped before a codec": {floatFile(sum(limited(scaled(clapTrain(audio.Rate, 12, 0.001),
			6), 1.02), noise(12*audio.Rate, 0.005, 5))), "clipped", ""},
		"clipped in one channel": {
			wav16(rate, claps, limited(scaled(claps, 6), 1)),
			"clipped", "",
		},
		"clipped, 8 bits": {
			wavFile(wavSpec{tag: 1, channels: 1, rate: 8000, bits: 8},
				encode(wavSpec{tag: 1, bits: 8}, limited(scaled(clapTrain(8000, 12, 0.001), 9), 1))),
			"clipped", "",
		},
		"gaps": {
			wav16(rate,
				silentAt(sum(claps, hum), [2]float64{1.2, 1.25}, [2]float64{5, 5.1})),
			"dropouts", "2 gaps in which the recorder lost the sound, 150 ms in all",
		},
		"a gap in both channels": {wav16(rate, silentAt(sum(claps, hum), [2]float64{2.1, 2.15}),
			silentAt(sum(claps, hum), [2]float64{2.1, 2.15})), "dropouts", "1 gap in which"},
		"telephone": {
			wav16(8000, clapTrain(8000, 3, 0.001)), "low-rate",
			"nothing above 4.0 kHz",
		},
		"silence": {
			wav16(rate, make([]float64, rate)), "silent",
			"right microphone",
		},
		"very quiet": {wav16(rate, scaled(claps, 0.01)), "quiet", "phone nearer"},
	} {
		t.Run(name, func(t *testing.T) {
			res := mustDecode(t, test.file)
			found := ""
			for _, w := range res.warnings {
				if w.Code == test.code {
					found = w.Text
				}
			}
			assert.NotEmpty(t, found, "warnings: %v", res.warnings)
			assert.Contains(t, found, test.text)
		})
	}
}

func TestNothingToWarnOf(t *testing.T) {
	const rate = 44100
	claps := clapTrain(rate, 12, 0.001)
	bare := clapTrain(rate, 12, 0) // digital silence between claps
	spec8 := wavSpec{tag: 1, channels: 1, rate: rate, bits: 8}
	sine := make([]float64, 5*rate)
	for i := range sine {
		sine[i] = 0.99 * math.Sin(2*math.Pi*100*float64(i)/rate)
	}
	peak := 0.0
	for _, x := range claps {
		peak = math.Max(peak, math.Abs(x))
	}
	for name, file := range map[string][]byte{
		"claps":                          wav16(rate, claps),
		"claps up to full scale":         wav16(rate, scaled(claps, 1/peak)),
		"digital silence between":        wav16(rate, bare),
		"8 bits":                         wavFile(spec8, encode(spec8, claps)),
		"8 bits, silence between":        wavFile(spec8, encode(spec8, bare)),
		"a loud low tone":                wav16(rate, sine),
		"two channels":                   wav16(rate, claps, sum(claps, noise(len(claps), 0.001, 8))),
		"talk-like noise coming, going":  wav16(rate, sum(claps, swelling(len(claps), rate))),
		"short":                          wav16(rate, claps[:rate/2]),
		"one clap cut by the end":        wav16(rate, claps[:rate/100]),
		"quiet start, silence, then all": wav16(rate, append(make([]float64, 3*rate), claps...)),
	} {
		t.Run(name, func(t *testing.T) {
			assert.Empty(t, mustDecode(t, file).warnings)
		})
	}
}

// swelling is noise that comes and goes like syllables.
func swelling(n, rate int) []float64 {
	out := noise(n, 0.02, 12)
	for i := range out {
		s := float64(i) / float64(rate)
		out[i] *= math.Max(0, math.Sin(2*math.Pi*3.1*s)*math.Sin(2*math.Pi*0.23*s+1))
	}
	return out
}

// ridden turns the level down after loud sound and slowly up again.
func ridden(x []float64, rate int, fall, rise float64) []float64 {
	out := make([]float64, len(x))
	level, gain := 0.0, 1.0
	for i, v := range x {
		level = math.Max(math.Abs(v*gain), level*(1-1/(0.02*float64(rate))))
		if level > 0.15 {
			gain *= 1 - fall/float64(rate)
		} else {
			gain = math.Min(8, gain*(1+rise/float64(rate)))
		}
		out[i] = v * gain
	}
	return out
}

// sparse is clapping with pauses of two to three seconds over room noise that
// rings for a while.
func sparse(rate int, ring float64) []float64 {
	x := noise(40*rate, 0.0008, 21)
	tail := noise(rate, 1, 22)
	for k, at := 0, 1.0; at < 38; k, at = k+1, at+2.2+0.3*float64(k%4) {
		for j := range 3 { // three claps
			start := int((at + 0.3*float64(j)) * float64(rate))
			for i := range rate {
				s := float64(i) / float64(rate)
				x[start+i] += 0.3*math.Exp(-s/0.006)*tail[(i*7)%rate]*0.5 + 0.03*math.Exp(-6.9*s/ring)*tail[i]
			}
		}
	}
	return x
}

func TestAutomaticLevelIsNoticedButNoRoomIsAccused(t *testing.T) {
	const rate = 16000
	for _, ring := range []float64{0.3, 0.8, 1.5} {
		plain := sparse(rate, ring)
		assert.NotContains(t, mustDecode(t, wav16(rate, plain)).codes(), "gain-riding",
			"ring %.1f s", ring)
		if ring > 1 {
			continue // the room's ring covers what the gain does
		}
		assert.Contains(t, mustDecode(t, wav16(rate, ridden(plain, rate, 40, 1.2))).codes(),
			"gain-riding", "ring %.1f s", ring)
	}
}
