package assess

import (
	"cmp"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/robust"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/assess/internal/transcribe"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// scale is the bank put on the tier scale, with the options.
type scale struct {
	Options
	graded  []patterns.Graded
	model   *difficulty.Model // anchored to the phrases
	highest int               // tier
}

func newScale(phrases *bank.Bank, o Options) *scale {
	if phrases == nil {
		phrases = &bank.Bank{}
	}
	if o.Model == nil {
		o.Model = difficulty.DefaultModel()
	}
	o.Comfort = cmp.Or(o.Comfort, ability.DefaultComfort)
	s := &scale{
		Options: o, graded: patterns.GradeBank(o.Model, phrases),
		model: patterns.Anchor(o.Model, phrases),
	}
	for _, g := range s.graded {
		s.highest = max(s.highest, g.Tier)
	}
	if len(s.graded) == 0 && o.Repertoire != nil { // then the tiers are those of the pieces
		for _, p := range patterns.GradeRepertoire(s.model, o.Repertoire) {
			s.highest = max(s.highest, p.Tier)
		}
	}
	s.highest = cmp.Or(s.highest, highestWithoutBank)
	return s
}

// highestWithoutBank is the highest tier told apart where no bank says what there is.
const highestWithoutBank = 9

// prior is what is believed before the first round: around the middle of the bank's tiers. The
// middle is that of its phrases, for a bank is written for the groups its leader meets; two phrases
// of tier nine among ninety do not raise what a new group is expected to do.
func (s *scale) prior() ability.Prior {
	if s.Prior != nil {
		return *s.Prior
	}
	prior := ability.PriorForTiers(s.highest)
	if n := len(s.graded); n > 0 {
		levels := make([]float64, n)
		for i, g := range s.graded {
			levels[i] = g.Difficulty
		}
		prior.Level = robust.Median(levels)
	}
	return prior
}

func (s *scale) templates() []rounds.Template {
	out := make([]rounds.Template, len(s.graded))
	for i, g := range s.graded {
		out[i] = rounds.Template{ID: g.ID, Phrase: g.Phrase}
	}
	return out
}

func (s *scale) phrases() []rhythm.Phrase {
	out := make([]rhythm.Phrase, len(s.graded))
	for i, g := range s.graded {
		out[i] = g.Phrase
	}
	return out
}

// closeTo is the phrase of the bank that a call differs from by one stroke; nil where there is
// none.
func (s *scale) closeTo(call rhythm.Phrase) *CloseTo {
	found, ok := transcribe.Closest(call, s.phrases())
	if !ok {
		return nil
	}
	g := s.graded[found.Phrase]
	out := &CloseTo{Phrase: g.ID, Name: g.Name, Difference: "more"}
	if found.Difference == transcribe.OneLess {
		out.Difference = "less"
	}
	out.Bar, out.Beat = g.Phrase.PositionAt(found.Step)
	out.Beat = rounded(out.Beat, 4)
	return out
}

// report starts a report.
func (s *scale) report(recorded Recorded) *Report {
	return &Report{
		Schema: Schema, Tool: s.Tool, Recording: recorded, Rounds: []Round{}, Openers: []Opener{},
		Warnings: []Warning{},
		Group:    Group{Comfort: s.Comfort, MixProbabilities: []float64{}, TierProbabilities: []float64{}},
	}
}
