package difficulty

import (
	"cmp"
	"slices"

	"clapladder.example/rhythm"
)

// Contribution is what one feature adds to the difficulty of plain beats, four of them at 96 beats a minute.
type Contribution struct {
	Feature Feature // what adds
	Tiers   float64 // may be negative: a phrase of two beats is shorter
}

// Contributions are the features in which p differs from plain beats, the hardest first, appended to dst. Difficulty is 1 plus
// their sum, but for the limits of the scale and for [Model.Anchor]. With room for [FeatureCount] in dst it does not allocate.
func (m *Model) Contributions(dst []Contribution, p rhythm.Phrase) []Contribution {
	from := len(dst)
	f := FeaturesOf(p)
	for i, weight := range m.weights {
		if tiers := weight * (f[i] - plainBeats[i]); tiers != 0 {
			dst = append(dst, Contribution{Feature(i), tiers})
		}
	}
	slices.SortStableFunc(dst[from:], func(a, b Contribution) int { return cmp.Compare(b.Tiers, a.Tiers) })
	return dst
}

// Explanation says why a phrase is as hard as it is, in words for a leader.
type Explanation struct {
	Difficulty    float64        // by the model, on the tier scale
	Contributions []Contribution // the hardest first
	Reasons       []Reason       // one for each contribution of 0.05 tiers or more, in the same order
}

// Reason is one feature that makes a phrase hard.
type Reason struct {
	Contribution
	Text   string  // what it is and where, such as "the clap on the “and” of 2 is held over beat 3"
	Places []Place // where, hardest first; may be empty
	Error  string  // what a group that fails typically does there
	Hint   string  // what helps
	Source string  // what error and hint rest on
}

// Place is a part of the phrase that a reason points to.
type Place struct {
	From, To int     // steps of the phrase; To is not included
	Tiers    float64 // what it adds
	Text     string  // what is there
}

// worthSaying is how many tiers a feature must add to be put into words.
const worthSaying = 0.05

// Explain says which features make p hard, where, what goes wrong there and what helps.
func (m *Model) Explain(p rhythm.Phrase) Explanation {
	var causes []cause
	w := walk{causes: &causes}
	w.run(p)
	e := Explanation{Difficulty: m.Difficulty(p), Contributions: m.Contributions(nil, p)}
	for _, c := range e.Contributions {
		if c.Tiers >= worthSaying {
			e.Reasons = append(e.Reasons, m.reason(p, c, causes))
		}
	}
	return e
}

func (m *Model) reason(p rhythm.Phrase, c Contribution, causes []cause) Reason {
	r := Reason{Contribution: c}
	words := wording{p: p}
	var kinds [causeKinds]float64
	for _, cause := range causes {
		if cause.feature != c.Feature {
			continue
		}
		kinds[cause.kind] += cause.amount
		if cause.kind.local() {
			r.Places = append(r.Places, Place{cause.from, cause.to, cause.amount * m.weights[c.Feature], words.place(cause)})
		}
	}
	slices.SortStableFunc(r.Places, func(a, b Place) int { return cmp.Compare(b.Tiers, a.Tiers) })
	main := causeKind(0)
	for kind, amount := range kinds {
		if amount > kinds[main] {
			main = causeKind(kind)
		}
	}
	r.Text = words.reason(main, kinds, r.Places)
	advice := adviceFor[main]
	r.Error, r.Hint, r.Source = advice.err, advice.hint, advice.source
	return r
}
