package rhythm

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
)

// Limits of a phrase.
const (
	MaxBars         = 64    // bars of a phrase
	MaxBoxesPerBeat = 16    // boxes of a beat
	MinTempo        = 20.0  // beats a minute
	MaxTempo        = 400.0 // beats a minute
	DefaultTempo    = 96.0  // beats a minute, where a file gives none
)

// fineUnit is the number of fine steps in one written unit: the least common multiple of 1 to 16,
// so that every allowed division of a beat falls on a whole step.
const fineUnit = 720720

// Phrase is one clap rhythm with metre and tempo: strokes on a grid of equal steps, the coarsest
// that holds them and the beats. Get one from [Parse] or [New]. Places are steps from the start of
// bar 1, whole numbers and exact; [Phrase.Seconds] turns them into seconds at the phrase's tempo,
// [Phrase.Position] into bar and beat as people count.
//
// The zero Phrase is empty and only useful as "none". Phrases are immutable and safe for concurrent
// use; methods that change something return a new one, and copies share their slices.
type Phrase struct {
	meter           Meter
	tempo           float64
	bars            int
	stepsPerQuarter int
	barSteps        int
	strokes         []Stroke
	beatSteps       []int
	written         *written // nil where nobody wrote it
}

// written is how a phrase was written.
type written struct {
	text  string // with one space between beats
	boxes []int  // by beat
}

// New makes a phrase from strokes on a grid of stepsPerQuarter steps a quarter note. Strokes may
// come in any order; two on one step are an error, so is a step outside the bars, a grid on which a
// beat would not fall on a step, or a beat that needs more than 16 boxes. The grid of the result is
// the coarsest that holds all strokes and beats. The slice is copied.
func New(meter Meter, tempo float64, bars, stepsPerQuarter int, strokes []Stroke) (Phrase, error) {
	switch {
	case meter.IsZero():
		return Phrase{}, errors.New("a phrase needs a metre")
	case bars < 1 || bars > MaxBars:
		return Phrase{}, fmt.Errorf("a phrase has 1 to %d bars, not %d", MaxBars, bars)
	case stepsPerQuarter < 1 || stepsPerQuarter > 4*fineUnit:
		return Phrase{}, fmt.Errorf("%d steps a quarter note is not a usable grid", stepsPerQuarter)
	case (stepsPerQuarter*4)%int(meter.unit) != 0:
		return Phrase{}, fmt.Errorf("a grid of %d steps a quarter does not hold the beats of %s",
			stepsPerQuarter, meter)
	case len(strokes) == 0:
		return Phrase{}, errors.New("a phrase needs at least one stroke")
	}
	if err := checkTempo(tempo); err != nil {
		return Phrase{}, err
	}
	p := build(meter, tempo, bars, stepsPerQuarter*4/int(meter.unit), strokes)
	for i, stroke := range p.strokes {
		if stroke.Step < 0 || stroke.Step >= p.Steps() {
			return Phrase{}, fmt.Errorf("a stroke lies outside the %d bars of the phrase", bars)
		}
		if i > 0 && stroke.Step == p.strokes[i-1].Step {
			bar, beat := p.Position(stroke.Step)
			return Phrase{}, fmt.Errorf("two strokes at bar %d, beat %g", bar, beat)
		}
		if int(stroke.Sound) >= len(soundNames) {
			return Phrase{}, fmt.Errorf("sound %d does not exist", stroke.Sound)
		}
	}
	for i := range p.Beats() {
		if boxes := p.BoxesPerBeat(i); boxes > MaxBoxesPerBeat {
			bar, beat := p.Position(p.beatSteps[i])
			return Phrase{}, fmt.Errorf("bar %d, beat %g needs %d boxes, more than %d", bar, beat,
				boxes, MaxBoxesPerBeat)
		}
	}
	return p, nil
}

func checkTempo(tempo float64) error {
	if math.IsNaN(tempo) || tempo < MinTempo || tempo > MaxTempo {
		return fmt.Errorf("tempo %g is outside %g to %g beats a minute", tempo, MinTempo, MaxTempo)
	}
	return nil
}

// build lays out beats and reduces the grid. unitSteps is the number of steps in one written unit.
func build(meter Meter, tempo float64, bars, unitSteps int, strokes []Stroke) Phrase {
	p := Phrase{meter: meter, tempo: tempo, bars: bars, strokes: slices.Clone(strokes)}
	slices.SortStableFunc(p.strokes, func(a, b Stroke) int { return cmp.Compare(a.Step, b.Step) })
	beats := meter.Beats()
	p.beatSteps = make([]int, 0, bars*beats+1)
	at := 0
	for range bars {
		for i := range beats {
			p.beatSteps = append(p.beatSteps, at)
			at += meter.BeatUnits(i) * unitSteps
		}
	}
	p.beatSteps = append(p.beatSteps, at)
	common := 0
	for _, step := range p.beatSteps {
		common = gcd(common, step)
	}
	for _, stroke := range p.strokes {
		common = gcd(common, stroke.Step)
	}
	// A quarter must be whole too, and a written unit, so that tempo and additive beats stay exact.
	common = gcd(common, unitSteps)
	for i := range p.beatSteps {
		p.beatSteps[i] /= common
	}
	for i := range p.strokes {
		p.strokes[i].Step /= common
	}
	unitSteps /= common
	for unitSteps*int(meter.unit)%4 != 0 { // half notes as units: a quarter is half a unit
		for i := range p.beatSteps {
			p.beatSteps[i] *= 2
		}
		for i := range p.strokes {
			p.strokes[i].Step *= 2
		}
		unitSteps *= 2
	}
	p.stepsPerQuarter = unitSteps * int(meter.unit) / 4
	p.barSteps = p.beatSteps[beats]
	return p
}

func gcd(a, b int) int {
	if a < 0 {
		a = -a
	}
	if b < 0 {
		b = -b
	}
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// Meter is the metre of every bar.
func (p Phrase) Meter() Meter { return p.meter }

// Tempo is in beats a minute (quarters a minute where beats differ in length).
func (p Phrase) Tempo() float64 { return p.tempo }

// Bars is the number of bars.
func (p Phrase) Bars() int { return p.bars }

// Beats is the number of beats in the whole phrase.
func (p Phrase) Beats() int { return max(0, len(p.beatSteps)-1) }

// StepsPerQuarter is the resolution of the grid: steps in a quarter note.
func (p Phrase) StepsPerQuarter() int { return p.stepsPerQuarter }

// Steps is the length of the phrase in steps.
func (p Phrase) Steps() int { return p.barSteps * p.bars }

// BarSteps is the length of one bar in steps.
func (p Phrase) BarSteps() int { return p.barSteps }

// Strokes are the sounds in order of time, at most one a step. The slice is shared: read only.
func (p Phrase) Strokes() []Stroke { return p.strokes }

// BeatSteps holds the step of each beat of the phrase and, as the last element, [Phrase.Steps].
// Shared: read only.
func (p Phrase) BeatSteps() []int { return p.beatSteps }

// IsZero reports whether p is the zero Phrase.
func (p Phrase) IsZero() bool { return p.bars == 0 }

// BeatAt returns the index of the beat that contains step: 0 for the first beat of bar 1. Steps
// before the phrase give 0, steps after it the last beat.
func (p Phrase) BeatAt(step int) int {
	i := sort.SearchInts(p.beatSteps, step+1) - 1
	return min(max(i, 0), max(p.Beats()-1, 0))
}

// Position says where a step lies as people count it: bar and beat from 1, with the part of the
// beat as a fraction (2.5 is half way through beat 2).
func (p Phrase) Position(step int) (bar int, beat float64) { return p.PositionAt(float64(step)) }

// PositionAt is [Phrase.Position] for a place between steps. Before the phrase the beat is less
// than 1, after it it goes on from the last bar.
func (p Phrase) PositionAt(step float64) (bar int, beat float64) {
	if p.IsZero() {
		return 1, 1
	}
	i := p.BeatAt(int(math.Floor(step)))
	start, length := p.beatSteps[i], p.beatSteps[i+1]-p.beatSteps[i]
	perBar := p.meter.Beats()
	return i/perBar + 1, float64(i%perBar+1) + (step-float64(start))/float64(length)
}

// StepSeconds is the length of one step in seconds at the phrase's tempo.
func (p Phrase) StepSeconds() float64 {
	return 60 / (p.tempo * p.meter.TempoQuarters() * float64(p.stepsPerQuarter))
}

// Seconds is the time of a step after the start of bar 1, in seconds at the phrase's tempo.
func (p Phrase) Seconds(step int) float64 { return float64(step) * p.StepSeconds() }

// Duration is the length of the whole phrase in seconds, silent tail included.
func (p Phrase) Duration() float64 { return p.Seconds(p.Steps()) }

// Equal reports whether p and q have the same metre, length, strokes and positions, however they
// were written. Tempo is not compared.
func (p Phrase) Equal(q Phrase) bool {
	return p.meter == q.meter && p.bars == q.bars && p.stepsPerQuarter == q.stepsPerQuarter &&
		slices.Equal(p.strokes, q.strokes)
}
