package assess

import (
	"fmt"
	"math"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/plan"
	"clapladder.example/patterns"
)

// openers chooses what to start with.
func (r *Report) openers(s *scale, result ability.Result) error {
	if s.Repertoire == nil || len(s.Repertoire.Pieces) == 0 {
		return nil
	}
	request := plan.Request{
		Pieces: patterns.GradeRepertoire(s.model, s.Repertoire), Belief: result.Posterior(),
		Comfort: s.Comfort, Sure: s.Sure, Split: result.Mix == "mixed", Model: s.model,
		Filter: s.Filter, Calibrate: s.Calibrate,
	}
	chosen, err := plan.Choose(request)
	if err != nil {
		return fmt.Errorf("choosing from the repertoire: %w", err)
	}
	r.Openers = OpenersOf(chosen)
	r.Pieces = PiecesOf(chosen)
	if len(r.Openers) == 0 {
		r.warn("nothing-likely", NothingLikelyText)
	}
	r.explainMain(result.Tier)
	return nil
}

// NothingLikelyText is the warning nothing-likely: no piece has a chance of one in three.
const NothingLikelyText = "Nothing in your repertoire is likely to work yet. Stay on the pulse: " +
	"walk it, clap it, pass it round, then call a few plain phrases again."

// explainMain says why the main opener lies below the stated tier.
func (r *Report) explainMain(tier int) {
	for i := range r.Openers {
		o := &r.Openers[i]
		if o.Role != plan.Main || o.Tier >= tier {
			continue
		}
		best := 0.0
		for _, p := range r.Pieces {
			if p.Tier == tier {
				best = max(best, p.Chance)
			}
		}
		reason := fmt.Sprintf("; you have no piece of tier %d", tier)
		if best > 0 {
			reason = fmt.Sprintf("; of tier %d the likeliest is only %s sure", tier, words.Chance(best))
		}
		o.Why += reason
	}
}

// PiecesOf turns the list of all pieces into the report's form.
func PiecesOf(chosen *plan.Openers) []PieceChance {
	out := []PieceChance{}
	for _, c := range chosen.All {
		out = append(out, PieceChance{
			Piece: c.Piece, Name: c.Name, Tier: c.Tier, Chance: rounded(c.Chance, 3), Tags: c.Tags,
		})
	}
	return out
}

// OpenersOf turns choices into the report's form, with the report's rounding.
func OpenersOf(chosen *plan.Openers) []Opener {
	out := []Opener{}
	for _, c := range chosen.List() {
		out = append(out, Opener{
			Piece: c.Piece, Name: c.Name, Part: c.Part, Role: c.Role, For: c.For, Tier: c.Tier,
			Chance: rounded(c.Chance, 3), Why: c.Why,
			Notation: c.Phrase.Written(), Meter: c.Phrase.Meter().String(),
		})
	}
	return out
}

// nextCall says which phrase of the bank would tell most, while the estimate is loose.
func (r *Report) nextCall(s *scale, result ability.Result) error {
	if len(s.graded) == 0 || len(r.Rounds) == 0 || plan.Enough(result.Posterior(), result.Rounds) {
		return nil
	}
	caller, err := plan.NewCaller(s.graded, plan.Microphone{
		ShareSD: nextShareSD, People: s.People,
		Comfort: s.Comfort,
	})
	if err != nil {
		return fmt.Errorf("choosing the next call: %w", err)
	}
	var called []plan.Called
	for _, round := range r.Rounds {
		c := plan.Called{Difficulty: round.Difficulty, Share: math.NaN()}
		if round.Phrase != nil {
			c.Phrase = *round.Phrase
		}
		switch {
		case round.Usable && round.Share != nil:
			c.Share = *round.Share
		case round.Heard != "": // by ear there is no share, only a word
			c.Share = ability.ParseVerdict(round.Heard).Share()
		}
		called = append(called, c)
	}
	if next, ok := caller.Next(result.Posterior(), called); ok {
		r.NextCall = &NextCall{
			Phrase: next.ID, Name: next.Name, Notation: next.Phrase.Written(),
			Meter:      next.Phrase.Meter().String(),
			Difficulty: rounded(next.Difficulty, 2), Why: next.Why,
		}
	}
	return nil
}
