package response

import "math"

// shareFit is a least-squares fit of the share of people who got a whole phrase, for phrases of some number of notes.
//
// Whoever got a phrase clapped every note, so the weakest note bounds the share; people who lost it still clap most of it, so
// participation alone says too much; who fills rests did not get it. The weights are fitted to 996 answers of the tuning half
// of the synthetic warm-ups.
type shareFit struct {
	notes           int     // up to this many
	base            float64 // share = base + weakest * lowest participation - extra * largest extra
	weakest, extra  float64
	middle          float64 // mean share of the answers fitted
	explained       float64 // share of their variance that the fit explains
	errorOfEstimate float64 // root mean square
}

var shareFits = []shareFit{
	{notes: 4, base: 0.60, weakest: 0.34, extra: 0.72, middle: 0.82, explained: 0.54, errorOfEstimate: 0.154},
	{notes: 8, base: 0.26, weakest: 0.56, extra: 0.39, middle: 0.58, explained: 0.41, errorOfEstimate: 0.198},
	{notes: 1 << 30, base: 0.00, weakest: 0.78, extra: 0.29, middle: 0.42, explained: 0.61, errorOfEstimate: 0.171},
}

func shareFitFor(notes int) shareFit {
	for _, fit := range shareFits {
		if notes <= fit.notes {
			return fit
		}
	}
	return shareFits[len(shareFits)-1]
}

// share estimates who got the whole phrase: the likeliest value for one answer on its own.
func share(r Result) float64 {
	fit := shareFitFor(len(r.Notes))
	weakest, extra := 1.0, 0.0
	for _, n := range r.Notes {
		weakest = min(weakest, n.Participation)
	}
	for _, x := range r.Extras {
		extra = max(extra, x.Participation)
	}
	return clamp01(fit.base + fit.weakest*weakest - fit.extra*extra)
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
