package sounds

import (
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/signal"
)

// mode is one damped resonance of a stroke.
type mode struct {
	hertz  float64
	decay  float64 // seconds to 1/e of the amplitude
	weight float64
}

// hit is the recipe of a stroke: a burst of noise, high-passed or low-passed, and resonances.
type hit struct {
	noise      float64 // amplitude
	noiseDecay float64 // seconds to 1/e of the amplitude
	noiseLow   float64 // Hz, below this the noise is taken away; 0 keeps it
	noiseHigh  float64 // Hz, above this the noise is taken away; 0 keeps it
	attack     float64 // seconds of the rise
	modes      []mode
	level      float64 // dB relative to a clap of the same person
}

// hands are the traits of one person that every stroke of theirs shares.
type hands struct {
	air     float64 // 0 flat hands, high and dry … 1 cupped hands, low and round
	flesh   float64 // 0 … 1, softness
	ratio   float64 // second resonance over the first
	foot    float64 // Hz
	thigh   float64 // Hz
	fingers float64 // Hz
}

func drawHands(rng *rand.Rand) hands {
	return hands{
		air: rng.Float64(), flesh: rng.Float64(), ratio: signal.Between(rng, 2.1, 3.2),
		foot: signal.Between(rng, 65, 130), thigh: signal.Between(rng, 220, 420),
		fingers: signal.Between(rng, 1900, 3600),
	}
}

// hit returns the recipe of one of the person's strokes.
//
// Claps: one resonance of the air pocket dominates, from under 1 kHz (palm to palm, cupped) to
// about 2 kHz and more (fingers to palm), rising as the pocket gets smaller (Repp 1987; Peltola,
// Erkut, Cook & Välimäki 2007; Jylhä & Erkut 2008). The decays are set so that half the energy
// comes within about 1 ms and 90 % within about 10 ms, as measured on 1,918 claps recorded with
// phones. Other body sounds: common practice, no source; from low to high stamp, pat, clap, snap.
func (h hands) hit(s Kind) hit {
	switch s {
	case Stamp:
		return hit{
			noise: 0.5, noiseDecay: 0.004, noiseHigh: 1200, attack: 0.0008,
			modes: []mode{{h.foot, 0.045, 1}, {h.foot * 3.1, 0.018, 0.6}, {h.foot * 6.7, 0.008, 0.3}},
		}
	case Pat:
		return hit{
			noise: 0.9, noiseDecay: 0.0035, noiseHigh: 1800, attack: 0.0006,
			modes: []mode{{h.thigh, 0.009, 0.7}, {h.thigh * 2.3, 0.005, 0.4}}, level: -4,
		}
	case Snap:
		return hit{
			noise: 0.5, noiseDecay: 0.0012, noiseLow: 1500, attack: 0.0002,
			modes: []mode{{h.fingers, 0.0055, 0.8}, {h.fingers * 1.7, 0.003, 0.3}}, level: -8,
		}
	case Sticks:
		return hit{
			noise: 0.4, noiseDecay: 0.0006, noiseLow: 1000, attack: 0.0001,
			modes: []mode{{h.fingers * 0.85, 0.012, 1}, {h.fingers * 2.3, 0.006, 0.4}},
		}
	case Drum: // ratios of the modes of a round membrane: 1, 1.594, 2.136 (textbook, from memory)
		return hit{
			noise: 0.5, noiseDecay: 0.003, noiseLow: 500, attack: 0.0004,
			modes: []mode{{2 * h.foot, 0.060, 0.7}, {3.19 * h.foot, 0.040, 0.6}, {4.27 * h.foot, 0.025, 0.5}},
		}
	case Bass:
		return hit{
			noise: 0.2, noiseDecay: 0.004, noiseHigh: 900, attack: 0.001,
			modes: []mode{{0.8 * h.foot, 0.12, 1}, {1.28 * h.foot, 0.06, 0.5}, {1.71 * h.foot, 0.04, 0.3}},
		}
	default:
		pocket := 2300 * math.Pow(0.3, h.air)
		return hit{
			noise: 1.7 - 0.4*h.flesh, noiseDecay: 0.0007 + 0.0005*h.flesh, noiseLow: 600, noiseHigh: 5500,
			attack: 0.0001 + 0.0002*h.flesh,
			modes: []mode{
				{pocket, 0.010 + 0.006*h.air, 0.20 + 0.10*h.air},
				{pocket * h.ratio, 0.005, 0.15},
				{180, 0.010, 0.08 + 0.10*h.flesh}, // thump
			},
		}
	}
}

// variants is the number of renderings of one person's stroke; each stroke takes one at random,
// because no two claps of a person are alike.
const variants = 4

// Instrument holds the strokes of one person by sound.
type Instrument struct {
	hands  hands
	rate   int
	rng    *rand.Rand
	sounds [len(soundNames)][][]float64
}

// NewInstrument draws the hands of a person.
func NewInstrument(rate int, rng *rand.Rand) *Instrument {
	return &Instrument{hands: drawHands(rng), rate: rate, rng: rng}
}

// Strokes returns the renderings of a sound, made when first asked for.
func (n *Instrument) Strokes(s Kind) [][]float64 {
	if n.sounds[s] == nil {
		recipe := n.hands.hit(s)
		expected := [2]float64{recipe.expected(float64(n.rate)), recipe.expected(16000)}
		for range variants {
			n.sounds[s] = append(n.sounds[s], recipe.render(n.rate, expected, n.rng))
		}
	}
	return n.sounds[s]
}

// UsualDB is the level of a sound relative to a clap of the same person.
func (n *Instrument) UsualDB(s Kind) float64 { return n.hands.hit(s).level }

// Energy is the mean energy of a stroke in the band where it is listened to: above 1 kHz for claps,
// snaps and sticks, which stand clear of talk there, everything for the low sounds.
func (n *Instrument) Energy(s Kind) float64 {
	sum := 0.0
	for _, x := range n.Strokes(s) {
		if s == Clap || s == Snap || s == Sticks {
			x = signal.HighPassed(x, 1000, float64(n.rate))
		}
		for _, v := range x {
			sum += v * v
		}
	}
	return sum / variants
}
