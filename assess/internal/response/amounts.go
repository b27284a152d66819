package response

import (
	"math"
	"slices"
)

// Amounts are what participation and share are read from. Energies are over those of the full
// group, neither rounded to what is possible nor cut.
type Amounts struct {
	Notes  []float64 // energy of each note, as notes and usual places explain the answer
	Usual  []float64 // energy at the usual places between the notes
	All    []float64 // energy of each note, with the hands that were late or early for it
	Extras []float64 // energy at all places between the notes
	Spread float64   // of the claps of one note, seconds
	Fitted float64   // spread as fitted to this answer alone, seconds
	Looser float64   // Fitted over the recording's median, natural logarithm
	Off    []bool    // which notes lie off the beat
	Beside float64   // energy between the notes for each note, median of the recording's answers

	Quarters [3]float64 // of the energies of all notes of the recording
}

// Amounts divides by the calibration.
func (h Heard) Amounts(c Calibration) Amounts {
	plain := h.plain
	if plain.notes == nil {
		plain = h.energies()
	}
	a := Amounts{
		Notes: h.relative(c, plain.notes), Usual: c.relative(plain.extras),
		All: h.relative(c, h.Notes), Extras: c.relative(h.energies().extras),
		Spread: c.steadied(h.Spread), Fitted: h.Spread, Quarters: c.quarters, Beside: c.beside,
	}
	for _, s := range h.Phrase.Strokes() {
		a.Off = append(a.Off, h.offBeat(s.Step))
	}
	if c.Spread > 0 && h.Spread > 0 {
		a.Looser = math.Log(h.Spread / c.Spread)
	}
	return a
}

// Scaled are the amounts where the full group gives less by the factor.
func (a Amounts) Scaled(by float64) Amounts {
	scaled := func(values []float64) []float64 {
		out := make([]float64, len(values))
		for i, x := range values {
			out[i] = x * by
		}
		return out
	}
	a.Notes, a.Usual, a.All, a.Extras = scaled(a.Notes), scaled(a.Usual), scaled(a.All), scaled(a.Extras)
	a.Beside *= by
	for i := range a.Quarters {
		a.Quarters[i] = min(a.Quarters[i]*by, mostNote)
	}
	return a
}

// between is the energy between the notes for each note.
func (a Amounts) between() float64 {
	sum := 0.0
	for _, x := range a.Extras {
		sum += min(x, mostPlace)
	}
	return sum / float64(len(a.Notes))
}

// total is the energy of the answer, on the notes and between them, for each note. Who loses a
// phrase still claps about as often as it has notes, so it hardly depends on who got it.
func (a Amounts) total() float64 {
	sum := a.between()
	for _, x := range a.All {
		sum += min(x, mostTotal) / float64(len(a.All))
	}
	return sum
}

// Energies above that of the full group are chance.
const (
	mostNote  = 1.5
	mostMean  = 1.2
	mostPlace = 1.5
	mostTotal = 2.0
	somebody  = 0.05 // energy of a place that somebody filled
	weakness  = 6.0  // how sharply the weakest notes stand out in their smooth minimum
	nothing   = 0.02 // energy that may be chance
	fewHands  = 0.2  // energy at which half of what is known besides counts
)

// shape is an answer's energies in a few figures.
type shape struct {
	// of the notes: mean, smooth minimum, mean of the weakest third, standard deviation
	mean, weakest, third, sd float64
	// of the extras: the largest and the next of the usual places, and all together
	extra, next, all float64
	off              float64 // mean of the notes off the beat; of all where there are none
	filled           float64 // places between the notes that somebody filled, for each note
}

func (a Amounts) shape() shape {
	var s shape
	n := float64(len(a.Notes))
	notes := make([]float64, len(a.Notes))
	for i, x := range a.Notes {
		notes[i] = min(x, mostNote)
		s.mean += notes[i] / n
		s.weakest += math.Exp(-weakness*notes[i]) / n
	}
	s.weakest = -math.Log(s.weakest) / weakness
	slices.Sort(notes)
	third := max(1, (len(notes)+2)/3)
	for i, x := range notes {
		s.sd += (x - s.mean) * (x - s.mean) / n
		if i < third {
			s.third += x / float64(third)
		}
	}
	s.sd = math.Sqrt(s.sd)
	for _, x := range a.Usual {
		if x = min(x, mostPlace); x > s.extra {
			s.extra, s.next = x, s.extra
		} else {
			s.next = max(s.next, x)
		}
	}
	for _, x := range a.Extras {
		s.all += min(x, mostPlace)
		if x > somebody {
			s.filled += 1 / n
		}
	}
	s.all /= 1 + s.all/2
	s.off = a.offBeat()
	return s
}

// offBeat is the mean energy of the notes off the beat, of all notes where there are none.
func (a Amounts) offBeat() float64 {
	var off, all, n float64
	for i, x := range a.All {
		x = min(x, mostNote)
		all += x
		if i < len(a.Off) && a.Off[i] {
			off, n = off+x, n+1
		}
	}
	if n == 0 {
		return all / float64(len(a.All))
	}
	return off / n
}

// ShareNames names the values of [Amounts.ShareFeatures].
var ShareNames = []string{
	"one", "mean note", "weakest note", "weakest third", "SD of notes",
	"root of largest extra", "largest extra", "root of next extra", "root of all extras",
	"spread", "looser than usual", "length", "length²", "eight and more",
	"length · weakest", "length · third", "length · extras", "length · spread",
	"mean²", "weakest²", "weakest · extra",
	"more beside than usual", "off the beat", "places filled", "not as many claps as notes",
}

// ShareFeatures are what the share is a weighted sum of. Whoever got a phrase clapped every note,
// so the weakest note bounds the share; people who lost it still clap most of it, so participation
// alone says too much; who fills rests did not get it, and the first few who do tell most, hence
// the roots; a group that is losing a phrase claps farther apart; and all of it tells less of a
// long phrase than of a short one. How much sounds between the notes where everybody is right
// differs with the room and with how loosely people clap, so it is told against the recording's
// usual.
func (a Amounts) ShareFeatures() []float64 {
	s := a.shape()
	length := math.Log(float64(len(a.Notes)) / 6)
	long := max(0, float64(len(a.Notes))-8) / 4
	spread := 10 * a.Spread
	extra, all := root(s.extra), root(s.all)
	return []float64{
		1, s.mean, s.weakest, s.third, s.sd,
		extra, s.extra, root(s.next), all,
		spread, a.Looser, length, length * length, long,
		length * s.weakest, length * s.third, length * all, length * spread,
		s.mean * s.mean, s.weakest * s.weakest, s.weakest * extra,
		root(a.between()) - root(a.Beside), s.off, s.filled, math.Abs(a.total() - 1),
	}
}

// root is the square root of an energy, but flat where it is so little that it may be nothing.
func root(x float64) float64 { return math.Sqrt(x+nothing) - math.Sqrt(nothing) }

// NoteNames names the values of [Amounts.NoteFeatures].
var NoteNames = []string{
	"anybody there", "own energy", "mean", "least", "most", "note before", "note after",
	"lower quartile", "median", "upper quartile", "spread", "share", "root of own energy",
}

// NoteFeatures are what the participation at note i is a weighted sum of. People clap at different
// strengths, so one note's energy strays from the number of hands; the answer and the recording
// around it steady it, the less the fewer hands are heard there at all.
func (a Amounts) NoteFeatures(i int, share float64) []float64 {
	mean, least, most := 0.0, math.Inf(1), 0.0
	cut := func(x float64) float64 { return min(x, mostNote) }
	for _, x := range a.All {
		mean += min(x, mostMean) / float64(len(a.All))
		least, most = min(least, cut(x)), max(most, cut(x))
	}
	before, after := mean, mean
	if i > 0 {
		before = cut(a.All[i-1])
	}
	if i+1 < len(a.All) {
		after = cut(a.All[i+1])
	}
	own := cut(a.All[i])
	features := []float64{
		1, own, mean, least, most, before, after, a.Quarters[0], a.Quarters[1], a.Quarters[2],
		10 * a.Spread, share,
	}
	for k := range features {
		features[k] *= own / (own + fewHands)
	}
	return append(features, root(own))
}

// ExtraNames names the values of [Amounts.ExtraFeatures].
var ExtraNames = []string{
	"own energy", "own²", "own · share", "own · mean", "own · spread", "anybody there",
	"anybody there · share",
}

// ExtraFeatures are what the participation at extra i is a weighted sum of.
func (a Amounts) ExtraFeatures(i int, share float64) []float64 {
	own := min(a.Extras[i], mostNote)
	mean := 0.0
	for _, x := range a.All {
		mean += min(x, mostMean) / float64(len(a.All))
	}
	there := own / (own + fewHands)
	return []float64{own, own * own, own * share, own * mean, own * 10 * a.Spread, there, there * share}
}
