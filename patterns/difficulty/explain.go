package difficulty

import (
	"cmp"
	"slices"

	"clapladder.example/patterns/internal/features"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// Contribution is what one feature adds to the difficulty of plain beats, four of them at 96 beats
// a minute.
type Contribution struct {
	Feature string  // what adds, in one or two words: length, syncopation, silent beats …
	Tiers   float64 // may be negative: a phrase of two beats is shorter

	index features.Feature
}

// Contributions are the features in which p differs from plain beats, the hardest first, appended
// to dst. The difficulty of plain beats plus their sum is [Model.Unlimited]. With room for
// nine in dst it does not allocate.
func (m *Model) Contributions(dst []Contribution, p rhythm.Phrase) []Contribution {
	from := len(dst)
	f := features.Of(p)
	for i, weight := range m.weights {
		if tiers := weight * (f[i] - plainBeats[i]); tiers != 0 {
			dst = append(dst, Contribution{features.Feature(i).String(), tiers, features.Feature(i)})
		}
	}
	slices.SortStableFunc(dst[from:], func(a, b Contribution) int { return cmp.Compare(b.Tiers, a.Tiers) })
	return dst
}

// Explanation says why a phrase is as hard as it is, in words for a leader. Plain, the tiers of all
// reasons, and Limit add up to Difficulty.
type Explanation struct {
	Difficulty float64  // by the model, on the tier scale
	Plain      float64  // difficulty of plain beats: 1 unless the model was moved to a leader's scale
	Reasons    []Reason // one for each contribution, the hardest first
	Limit      float64  // what the ends of the scale add or take off; 0 between them
}

// Reason is one feature that makes a phrase hard, or easier than plain beats where its tiers are
// negative.
type Reason struct {
	Contribution
	Text   string  // what it is and where, such as "the clap on the “and” of 2 is held over beat 3"
	Places []Place // where, hardest first; may be empty
	Error  string  // what a group that fails typically does there; none where it is easier
	Hint   string  // what helps
	Source string  // what error and hint rest on
}

// Place is a part of the phrase that a reason points to.
type Place struct {
	From, To int     // steps of the phrase; To is not included
	Tiers    float64 // what it adds
	Text     string  // what is there
}

// Explain says which features make p hard, where, what goes wrong there and what helps.
func (m *Model) Explain(p rhythm.Phrase) Explanation {
	_, causes := features.Explained(p)
	whole := m.Unlimited(p)
	e := Explanation{Difficulty: tierscale.Clamp(whole), Plain: m.base + m.weights.Dot(plainBeats)}
	e.Limit = e.Difficulty - whole
	for _, c := range m.Contributions(nil, p) {
		e.Reasons = append(e.Reasons, m.reason(p, c, causes))
	}
	return e
}

func (m *Model) reason(p rhythm.Phrase, c Contribution, causes []features.Cause) Reason {
	r := Reason{Contribution: c}
	words := wording{p: p}
	var kinds [features.CauseKinds]float64
	for _, cause := range causes {
		if cause.Feature != c.index {
			continue
		}
		kinds[cause.Kind] += cause.Amount
		if local(cause.Kind) {
			tiers := cause.Amount * m.weights[c.index]
			r.Places = append(r.Places, Place{cause.From, cause.To, tiers, words.place(cause)})
		}
	}
	slices.SortStableFunc(r.Places, func(a, b Place) int { return cmp.Compare(b.Tiers, a.Tiers) })
	main := features.CauseKind(0)
	for kind, amount := range kinds {
		if amount > kinds[main] {
			main = features.CauseKind(kind)
		}
	}
	r.Text = words.reason(main, kinds, r.Places)
	if c.Tiers < 0 {
		return r // nothing goes wrong for being easier
	}
	advice := adviceFor[main]
	r.Error, r.Hint, r.Source = advice.err, advice.hint, advice.source
	return r
}
