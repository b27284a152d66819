package response

import (
	"math"
	"slices"
)

// shareFit is a least-squares fit of the share of people who got a whole phrase, for phrases of some number of notes.
//
// Whoever got a phrase clapped every note, so the weakest note bounds the share; people who lost it still clap most of it, so
// participation alone says too much; who fills rests did not get it, and the first few who do tell most. The weights are fitted to 3,786
// answers of the tuning half of the synthetic warm-ups; explained and errorOfEstimate are of answers of recordings left out.
type shareFit struct {
	notes           int     // up to this many
	base            float64 // share = base + weakest * least energy - extra * largest extra + many * what that is above fewExtra
	weakest         float64
	extra, many     float64
	middle          float64 // mean share of the answers fitted
	explained       float64 // share of their variance that the fit explains
	errorOfEstimate float64 // root mean square
}

var shareFits = []shareFit{
	{notes: 4, base: 0.659, weakest: 0.354, extra: 1.472, many: 1.140, middle: 0.829, explained: 0.632, errorOfEstimate: 0.126},
	{notes: 6, base: 0.418, weakest: 0.522, extra: 1.267, many: 1.052, middle: 0.574, explained: 0.483, errorOfEstimate: 0.175},
	{notes: 9, base: 0.336, weakest: 0.562, extra: 0.983, many: 0.854, middle: 0.569, explained: 0.371, errorOfEstimate: 0.193},
	{notes: 1 << 30, base: 0.081, weakest: 0.649, extra: 0.433, many: 0.386, middle: 0.373, explained: 0.233, errorOfEstimate: 0.204},
}

const (
	fewExtra    = 0.2
	mostWeakest = 1.2 // energies above the full group's are chance
)

func shareFitFor(notes int) shareFit {
	for _, fit := range shareFits {
		if notes <= fit.notes {
			return fit
		}
	}
	return shareFits[len(shareFits)-1]
}

// share estimates who got the whole phrase: the likeliest value for one answer on its own. notes holds the energy of each note, extras that between
// the notes, both over the full group's.
func share(notes, extras []float64) float64 {
	fit := shareFitFor(len(notes))
	weakest, extra := min(slices.Min(notes), mostWeakest), 0.0
	for _, x := range extras {
		extra = max(extra, min(x, 1))
	}
	return clamp01(fit.base + fit.weakest*weakest - fit.extra*extra + fit.many*max(0, extra-fewExtra))
}

// Evidence is what an answer with the estimated share says about a group, for an estimate that has a prior of its own. A
// least-squares estimate is drawn to the middle of the answers it was fitted to, the more so the less it explains; the pull is taken
// out, so that value is right on average whatever the truth, and sd is its standard error. value may lie
// outside 0 to 1.
func Evidence(share float64, notes int) (value, sd float64) {
	fit := shareFitFor(notes)
	value = fit.middle + (share-fit.middle)/fit.explained
	// The fit leaves errorOfEstimate around the estimate; around the truth it is that times the root of what is explained,
	// and taking out the pull divides by what is explained.
	return value, fit.errorOfEstimate / math.Sqrt(fit.explained)
}
