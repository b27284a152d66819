package response

import (
	"math"
	"slices"

	"clapladder.example/rhythm"
)

// Calibration is what the whole group gives to one note, by sound.
type Calibration struct {
	Full [4]float64 // energy, indexed by rhythm.Sound; 0 where the recording has no such sound
	// Sure says that a phrase easy enough for everybody was among the rounds. Without one,
	// participation is only relative: the best notes of the recording count as full.
	Sure bool
	// Spread is the median of the answers' spreads as fitted, seconds: the same people clap as
	// loosely in all of them. 0: unknown.
	Spread float64

	// Total is the mean energy of the answers, with that between the notes, for each note and over
	// what the full group gives by its plainest phrases alone; see [FullFeatures]. 0: unknown.
	Total float64

	quarters [3]float64 // of the energies of all notes over the full group's: lower quartile, median, upper
	beside   float64    // energy between the notes for each note, median of the answers
}

// most is the energy of a full group's strongest sound.
func (c Calibration) most() float64 { return slices.Max(c.Full[:]) }

// relative is energy between the notes over that of the full group; 0 where that is not known.
func (c Calibration) relative(energies []float64) []float64 {
	out := make([]float64, len(energies))
	if full := c.most(); full > 0 {
		for i, energy := range energies {
			out[i] = energy / full
		}
	}
	return out
}

// Settings of the calibration.
const (
	easyDifficulty = 1.7  // on the tier scale: plain beats and little more, which whole groups clap
	blindQuantile  = 0.75 // of all notes, where no phrase is easy
)

// Calibrate finds the energy of a full group. difficulty holds each answer's phrase on the tier
// scale; it has the length of heard. Easy phrases are the reference; a recording whose other notes
// are clearly stronger than the easy ones is scaled by those. They are few, so what all answers
// give together corrects them.
func Calibrate(heard []Heard, difficulty []float64) Calibration {
	var c Calibration
	var all, easy [4][]float64
	var spreads []float64
	for i, h := range heard {
		spreads = append(spreads, h.Spread)
		strokes := h.Phrase.Strokes()
		var own [4][]float64
		for k, energy := range h.Notes {
			sound := h.sound(strokes, k)
			own[sound] = append(own[sound], energy)
		}
		for sound, energies := range own {
			all[sound] = append(all[sound], energies...)
			if difficulty[i] <= easyDifficulty {
				easy[sound] = append(easy[sound], energies...)
			}
		}
	}
	c.Spread = quantile(spreads, 0.5)
	for sound := range all {
		blind := quantile(all[sound], blindQuantile)
		c.Full[sound] = blind
		if len(easy[sound]) >= 3 {
			plain := quantile(easy[sound], 0.5)
			c.Full[sound] = max(plain, 0.8*blind)
			if rhythm.Sound(sound) == rhythm.Clap {
				c.Sure = true
			}
		}
	}
	c.correct(heard)
	c.takeQuarters(heard)
	return c
}

// FullNames names the values of [FullFeatures].
var FullNames = []string{"one", "total"}

// FullFeatures are what the natural logarithm of a full group's energy, over that of the plainest
// phrases alone, is a weighted sum of.
func FullFeatures(total float64) [2]float64 { return [2]float64{1, math.Log(max(total, leastTotal))} }

// FullCorrection is by what factor a full group gives more than its plainest phrases, by the given
// weights of [FullFeatures]. A few answers alone correct nothing.
func FullCorrection(weights []float64, total float64, answers int) float64 {
	if answers < leastAnswers || total <= 0 {
		return 1
	}
	f := FullFeatures(total)
	return math.Exp(min(max(weigh(weights, f[:]), -mostCorrection), mostCorrection))
}

// Settings of the correction.
const (
	leastAnswers   = 4    // that correct: without so many no tier is stated
	leastTotal     = 0.05 // of the full group
	mostCorrection = 0.3  // natural log: three of the standard deviations of what is corrected
)

// correct uses the energy of all answers.
func (c *Calibration) correct(heard []Heard) {
	n := 0
	for _, h := range heard {
		if len(h.Notes) > 0 {
			c.Total += h.Amounts(*c).total()
			n++
		}
	}
	if n > 0 {
		c.Total /= float64(n)
	}
	by := FullCorrection(fullWeights[:], c.Total, n)
	for sound := range c.Full {
		c.Full[sound] *= by
	}
	var beside []float64
	for _, h := range heard {
		if len(h.Notes) > 0 {
			beside = append(beside, h.Amounts(*c).between())
		}
	}
	c.beside = quantile(beside, 0.5)
}

func (c *Calibration) takeQuarters(heard []Heard) {
	var notes []float64
	for _, h := range heard {
		for _, x := range h.relative(*c, h.Notes) {
			notes = append(notes, min(x, mostNote))
		}
	}
	for i := range c.quarters {
		c.quarters[i] = quantile(notes, float64(i+1)/4)
	}
}

// steadied is the likeliest spread of an answer, seconds. Spreads as fitted stray: the tight ones
// come out too tight and the loose ones too loose, so the recording's usual one steadies it.
func (c Calibration) steadied(spread float64) float64 {
	if spread <= 0 {
		return 0
	}
	others := c.Spread
	if others <= 0 {
		others = spread
	}
	f := SpreadFeatures(spread, math.Log(spread/others))
	return SpreadMiddle * math.Exp(weigh(spreadWeights[:], f[:]))
}

// SpreadMiddle is the spread, in seconds, that spreads are told against.
const SpreadMiddle = 0.034

// SpreadNames names the values of [SpreadFeatures].
var SpreadNames = []string{"one", "own spread", "looser than usual"}

// SpreadFeatures are what the natural logarithm of a spread over [SpreadMiddle] is a weighted sum
// of: the spread as fitted and how much that is looser than the recording's usual.
func SpreadFeatures(spread, looser float64) [3]float64 {
	return [3]float64{1, math.Log(spread / SpreadMiddle), looser}
}

// sound is what stroke k was made with: as the phrase has it, but a stamp where a clap was heard to
// be as low.
func (h Heard) sound(strokes []rhythm.Stroke, k int) rhythm.Sound {
	if s := strokes[k].Sound; s != rhythm.Clap || k >= len(h.Low) || !h.Low[k] {
		return s
	}
	return rhythm.Stamp
}

// quantile interpolates the q quantile; 0 for no values.
func quantile(values []float64, q float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	x := q * float64(len(sorted)-1)
	i := int(x)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (x-float64(i))*(sorted[i+1]-sorted[i])
}
