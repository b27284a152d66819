package response

import (
	"cmp"
	"math"
	"slices"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/rhythm"
)

// Answer says where to look.
type Answer struct {
	Phrase   rhythm.Phrase  // as called, at the tempo called
	Expected rhythm.TimeMap // the leader's pulse carried into the answer
	Guess    rhythm.TimeMap // where the answer seems to lie
	// times of the leader's strokes that sound in the answer: the call's last notes, or playing
	// along
	Leader []float64
	Until  float64 // start of the next call; +Inf where none follows
	// Low tells stroke by stroke which are stamps or pats, whose power lies below the clap band.
	// Nil: none.
	Low []bool
}

// Heard is what was measured of one answer, in energy.
type Heard struct {
	Answer
	Map    rhythm.TimeMap // fitted
	Spread float64        // standard deviation of the claps of one note, seconds
	Notes  []float64      // energy of each note, in units of the envelope's power times frames
	Late   []float64      // seconds by which each note came after its place on Map; early is negative
	Extras []Extra        // energy where the phrase has no note
	plain  amplitudes     // as the notes and the usual places between them explain the answer alone
}

// amplitudes are energies by place.
type amplitudes struct {
	notes, extras []float64
}

func (h Heard) energies() amplitudes {
	a := amplitudes{notes: h.Notes}
	for _, x := range h.Extras {
		a.extras = append(a.extras, x.Energy)
	}
	return a
}

// Extra is energy between the notes.
type Extra struct {
	Step   float64 // on the phrase's grid; may be negative or beyond the end
	Energy float64 // in units of the envelope's power times frames
}

// Settings of the fit. Set on synthetic warm-ups of the tuning half.
const (
	beforeFirst   = 0.16  // seconds of the window before the first slot
	afterLast     = 0.25  // and after the last
	spreadUsual   = 0.032 // seconds
	spreadLogSD   = 0.6   // natural log
	priorWeight   = 0.5
	ratioUsualSD  = 0.06 // natural log of the answer's step over the call's
	lateScale     = 1.5  // a column takes the energy near it, so the centres move less than the claps
	fitRounds     = 8
	finalRounds   = 40
	groupDistance = 0.45 // the group's direct share over the leader's: people sit further from the phone
)

var spreads = []float64{0.002, 0.006, 0.011, 0.016, 0.022, 0.028, 0.035, 0.043, 0.052, 0.063, 0.078, 0.1}

// Shapes holds the burst shapes of a recording; make it once for all its answers. Read-only once
// made.
type Shapes struct {
	group  []*onset.Shape // by spread
	leader *onset.Shape
}

// NewShapes tabulates shapes for the kernel of a recording's single claps.
func NewShapes(k onset.Kernel) *Shapes {
	group := onset.Kernel{Direct: k.Direct * groupDistance, Decay: k.Decay}
	s := &Shapes{leader: onset.NewShape(k, 0)}
	for _, spread := range spreads {
		s.group = append(s.group, onset.NewShape(group, spread))
	}
	return s
}

// Measure fits bursts to the power of an answer, over time, tempo and spread.
func Measure(a *onset.Analysis, shapes *Shapes, answer Answer) Heard {
	places := slots(answer.Phrase, answer.Guess.StepSeconds)
	lead := answer.Guess.At(places[0].step) - beforeFirst
	last := max(answer.Guess.At(float64(answer.Phrase.Steps())),
		answer.Guess.At(places[len(places)-1].step)) + afterLast
	last = min(last, answer.Until-0.02)
	low := slices.Contains(answer.Low, true)
	f := fitter{
		Answer: answer, shapes: shapes, places: places, usual: len(places),
		mixture: newMixture(newWindow(a, lead, last, low)),
	}
	best := f.search()
	plain := f.heard(best).energies()
	f.addStrays(best)
	h := f.heard(best)
	h.plain = plain
	if low { // claps, and what is clapped between the notes, stand clear of talk above the low band
		f.mixture = newMixture(newWindow(a, lead, last, false))
		f.score(best, finalRounds)
		h.takeHigh(f.heard(best))
	}
	h.timeByAttacks(a)
	return h
}

// takeHigh takes over what was measured of claps.
func (h *Heard) takeHigh(claps Heard) {
	plain := claps.energies()
	for i, low := range h.Low {
		if !low {
			h.Notes[i], h.Late[i], h.plain.notes[i] = claps.Notes[i], claps.Late[i], plain.notes[i]
		}
	}
	h.Extras, h.plain.extras = claps.Extras, plain.extras
}

type fitter struct {
	Answer
	shapes  *Shapes
	places  []slot
	mixture *mixture
	start   []float64 // amplitudes to begin with
	usual   int       // places known from the phrase; what comes after was added
}

// candidate is one setting of the fit.
type candidate struct {
	origin, step float64
	spread       int
}

// search finds the time, tempo and spread that explain the window best, and leaves their
// amplitudes.
func (f *fitter) search() candidate {
	typical := f.typical()
	f.start = make([]float64, len(f.places)+len(f.Leader))
	for i := range f.start {
		f.start[i] = typical
	}
	best := candidate{f.Guess.Origin, f.Guess.StepSeconds, 5}
	score := f.score(best, fitRounds)
	anchor := f.anchor()
	for _, size := range []float64{1, 0.5, 0.25, 0.12} {
		for range 6 {
			moved := false
			for _, c := range f.around(best, size, anchor) {
				if s := f.score(c, fitRounds); s > score+1e-9 {
					best, score, moved = c, s, true
					copy(f.start, f.mixture.amplitudes)
				}
			}
			if !moved {
				break
			}
		}
	}
	f.score(best, finalRounds)
	return best
}

// typical is the amplitude of a place that has its even part of the energy.
func (f *fitter) typical() float64 {
	sum := 0.0
	for _, e := range f.mixture.energy {
		sum += e
	}
	return sum/float64(len(f.places)+1) + 1e-15
}

// anchor is the step in the middle of the notes: turning the tempo about it leaves the mean time
// alone.
func (f *fitter) anchor() float64 {
	strokes := f.Phrase.Strokes()
	return float64(strokes[0].Step+strokes[len(strokes)-1].Step) / 2
}

// around lists neighbours: earlier and later, faster and slower, tighter and looser.
func (f *fitter) around(c candidate, size, anchor float64) []candidate {
	shift, turn := 0.04*size, 0.03*size
	out := []candidate{
		{c.origin + shift, c.step, c.spread},
		{c.origin - shift, c.step, c.spread},
		{c.origin - anchor*c.step*turn, c.step * (1 + turn), c.spread},
		{c.origin + anchor*c.step*turn, c.step * (1 - turn), c.spread},
	}
	if c.spread > 0 {
		out = append(out, candidate{c.origin, c.step, c.spread - 1})
	}
	if c.spread+1 < len(spreads) {
		out = append(out, candidate{c.origin, c.step, c.spread + 1})
	}
	return out
}

// score fits amplitudes for a candidate and returns its log posterior up to a constant.
func (f *fitter) score(c candidate, rounds int) float64 {
	m := f.mixture
	m.reset()
	shape := f.shapes.group[c.spread]
	times := rhythm.TimeMap{Origin: c.origin, StepSeconds: c.step}
	for i, p := range f.places {
		t := times.At(p.step)
		if p.note < 0 && t > f.Until-0.12 {
			m.add(shape, t+1e6, 0) // the next call begins here: nothing can be said
			continue
		}
		m.add(shape, t, f.start[i])
	}
	for i, t := range f.Leader {
		m.add(f.shapes.leader, t, f.start[len(f.places)+i])
	}
	likelihood := m.fit(rounds)
	loose := math.Log(spreads[c.spread]/spreadUsual) / spreadLogSD
	fast := math.Log(c.step/f.Expected.StepSeconds) / ratioUsualSD
	return likelihood - priorWeight*(loose*loose+fast*fast)/2
}

func (f *fitter) heard(c candidate) Heard {
	h := Heard{
		Answer: f.Answer, Map: rhythm.TimeMap{Origin: c.origin, StepSeconds: c.step},
		Spread: spreads[c.spread],
		Notes:  make([]float64, len(f.Phrase.Strokes())), Late: make([]float64, len(f.Phrase.Strokes())),
	}
	for i, p := range f.places {
		energy := f.mixture.amplitudes[i]
		if p.note >= 0 {
			h.Notes[p.note] = energy
			h.Late[p.note] = lateScale * f.mixture.late(i)
		} else if k := f.lateFor(c, i); k >= 0 {
			h.Notes[k] += energy
		} else {
			h.Extras = append(h.Extras, Extra{p.step, energy})
		}
	}
	slices.SortStableFunc(h.Extras, func(a, b Extra) int { return cmp.Compare(a.Step, b.Step) })
	return h
}
