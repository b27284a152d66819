package response

import "slices"

// shareFit is a least-squares fit of the share of people who got a whole phrase, for phrases of some number of notes.
//
// Whoever got a phrase clapped every note, so the weakest note bounds the share; people who lost it still clap most of it, so
// participation alone says too much; who fills rests did not get it, and the first few who do tell most; and a group that is losing a phrase claps
// farther apart. The weights are fitted to 3,972 answers of the tuning half of the synthetic warm-ups; explained and errorOfEstimate are of
// answers of recordings left out.
type shareFit struct {
	notes           int // up to this many
	base            float64
	weakest, mean   float64 // of the notes' energies
	extra, many     float64 // of the largest of the usual extras, and of what that is above fewExtra
	all             float64 // of all extras together
	loose           float64 // of the spread in seconds
	middle          float64 // mean share of the answers fitted
	explained       float64 // share of their variance that the fit explains
	errorOfEstimate float64 // root mean square
}

var shareFits = []shareFit{
	{notes: 4, base: 0.686, weakest: 0.325, mean: 0.019, extra: 0.983, many: 0.889, all: 0.167, loose: 0.37, middle: 0.830, explained: 0.634, errorOfEstimate: 0.125},
	{notes: 6, base: 0.477, weakest: 0.450, mean: 0.094, extra: 0.943, many: 0.909, all: 0.097, loose: 2.43, middle: 0.576, explained: 0.506, errorOfEstimate: 0.170},
	{notes: 9, base: 0.340, weakest: 0.355, mean: 0.338, extra: 0.746, many: 0.684, all: 0.057, loose: 4.40, middle: 0.571, explained: 0.451, errorOfEstimate: 0.180},
	{notes: 1 << 30, base: 0.054, weakest: 0.369, mean: 0.499, extra: 0.251, many: 0.251, all: 0.084, loose: 5.40, middle: 0.369, explained: 0.361, errorOfEstimate: 0.186},
}

const (
	fewExtra    = 0.2
	mostWeakest = 1.2 // energies above the full group's are chance
	mostMean    = 1.3
	mostAll     = 2.0
)

func shareFitFor(notes int) shareFit {
	for _, fit := range shareFits {
		if notes <= fit.notes {
			return fit
		}
	}
	return shareFits[len(shareFits)-1]
}

// amounts are what a share is read from. Energies are over the full group's.
type amounts struct {
	notes  []float64 // energy of each note
	usual  []float64 // energy at the usual places between the notes
	extras []float64 // energy at all places between the notes
	spread float64   // seconds
}

// share estimates who got the whole phrase: the likeliest value for one answer on its own.
func (a amounts) share() float64 {
	fit := shareFitFor(len(a.notes))
	mean, extra, all := 0.0, 0.0, 0.0
	for _, x := range a.notes {
		mean += min(x, mostMean) / float64(len(a.notes))
	}
	for _, x := range a.usual {
		extra = max(extra, min(x, 1))
	}
	for _, x := range a.extras {
		all += min(x, 1)
	}
	return clamp01(fit.base + fit.weakest*min(slices.Min(a.notes), mostWeakest) + fit.mean*mean -
		fit.extra*extra + fit.many*max(0, extra-fewExtra) - fit.all*min(all, mostAll) - fit.loose*a.spread)
}

// leaning is by how much the error counts more than that of one answer: the errors of one recording lean the same way by 0.046 (standard deviation, same
// answers), so eight of them tell less than eight answers of eight groups would.
const leaning = 1.2

// Evidence is what an answer with the estimated share says about a group: the estimate and its standard error.
func Evidence(share float64, notes int) (value, sd float64) {
	return share, leaning * shareFitFor(notes).errorOfEstimate
}
