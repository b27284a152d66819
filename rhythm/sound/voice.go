package sound

import (
	"math"
	"math/rand/v2"

	"clapladder.example/rhythm"
)

// block is the sound of the count-in and the click; the others are those of [rhythm.Sound].
const block = rhythm.Snap + 1

// resonance is one damped tone of a stroke.
type resonance struct {
	hertz  float64
	decay  float64 // seconds to 1/e of the amplitude
	weight float64
}

// recipe is how a stroke is made: noise between two frequencies, and resonances.
type recipe struct {
	noise      float64 // weight
	noiseDecay float64 // seconds to 1/e of the amplitude
	low, high  float64 // Hz, where the noise is cut by 3 dB at 6 dB an octave; 0: not cut
	tones      []resonance
}

// Common practice, no source. The clap's resonances are those of a small pocket of air between the
// hands, around 1 to 2 kHz.
var recipes = [...]recipe{
	rhythm.Clap:  {1, 0.0018, 700, 4500, []resonance{{1250, 0.008, 0.45}, {2300, 0.004, 0.30}}},
	rhythm.Stamp: {0.5, 0.005, 0, 600, []resonance{{85, 0.045, 1}, {205, 0.028, 0.7}, {430, 0.012, 0.3}}},
	rhythm.Pat:   {0.8, 0.004, 150, 1300, []resonance{{330, 0.012, 0.7}, {690, 0.007, 0.4}}},
	rhythm.Snap:  {0.5, 0.0015, 3000, 0, []resonance{{3300, 0.006, 0.8}, {5700, 0.004, 0.7}}},
	block:        {0, 1, 0, 0, []resonance{{880, 0.030, 1}, {2230, 0.012, 0.5}}},
}

// hands are the people that clap a model answer: how late each lies beside the notated time, in
// seconds, and how much higher than the leader's their strokes are, in octaves. The mean of the
// times is 0 and their spread 10 ms: heard as one clap, thick but together (the order of two sounds
// is hardly heard below 20 ms; Hirsh 1959, from memory).
var hands = [...]struct{ late, higher float64 }{
	{-0.014, 0.11}, {0.009, -0.28}, {-0.006, 0.23}, {0.014, -0.07}, {-0.009, -0.17}, {0.006, 0.31},
}

// leader is the person who calls.
const leader = -1

// voice is a stroke as one person makes it, with peak 1; the leader or one of hands. It lasts until
// its energy is 60 dB down.
func voice(kind rhythm.Sound, person int) []float64 {
	r := recipes[kind]
	random := rand.New(rand.NewPCG(uint64(kind), uint64(person+1)))
	pitch := 1.0
	if person >= 0 {
		pitch = math.Exp2(hands[person].higher)
	}
	longest := r.noiseDecay
	if r.noise == 0 {
		longest = 0
	}
	for _, t := range r.tones {
		longest = max(longest, t.decay)
	}
	out := make([]float64, int(math.Ceil(math.Log(1000)*longest*rate)))
	var below, above, peak float64 // states of the filters
	for i := range out {
		seconds := float64(i) / rate
		n := 2*random.Float64() - 1
		if i == 0 {
			n = 1 // a stroke begins with its very sample
		}
		if r.high > 0 {
			above += onePole(r.high) * (n - above)
			n = above
		}
		if r.low > 0 {
			below += onePole(r.low) * (n - below)
			n -= below
		}
		y := r.noise * n * math.Exp(-seconds/r.noiseDecay)
		for _, t := range r.tones {
			y += t.weight * math.Exp(-seconds/t.decay) * math.Sin(2*math.Pi*t.hertz*pitch*(seconds+1.0/rate))
		}
		out[i] = y
		peak = max(peak, math.Abs(y))
	}
	for i := range out {
		out[i] /= peak
	}
	return out
}

// onePole is the share of the way to its input that a filter of first order goes in one sample.
func onePole(hertz float64) float64 { return 1 - math.Exp(-2*math.Pi*hertz/rate) }
