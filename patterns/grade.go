package patterns

import (
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// pinSD is how sure a leader's own placing is, in tiers: somebody who pins a tier means "about
// here".
const pinSD = 0.5

// Graded is a phrase of a bank on the tier scale.
type Graded struct {
	bank.Entry
	Difficulty float64 // after the leader's placing, if any; one unit is one tier and one logit
	Predicted  float64 // by the model alone
	SD         float64 // how sure Difficulty is, in logits
	Tier       int     // Difficulty rounded, at least 1; where a tier is pinned, that tier
	Pinned     bool    // the leader's placing decided, or what was learned from the leader's groups
}

// GradeBank grades every entry, in the order of the bank. What the leader wrote wins over the
// model: a difficulty as it stands; a tier unless the model places the phrase inside that tier
// already, in which case the model's finer value stays. Where the leader places phrases throughout,
// the model's scale moves to theirs first: see [Anchor].
func GradeBank(m *difficulty.Model, b *bank.Bank) []Graded {
	graded := make([]Graded, len(b.Entries))
	for i, entry := range b.Entries {
		graded[i] = Graded{Entry: entry, Predicted: m.Unlimited(entry.Phrase)}
	}
	shift := anchorShift(graded)
	for i := range graded {
		g := &graded[i]
		g.Predicted = tierscale.Clamp(g.Predicted + shift)
		g.Difficulty, g.SD, g.Pinned = place(
			m.SD(g.Phrase), g.Predicted, g.Entry.Tier, g.Entry.Difficulty)
		if g.Entry.Difficulty > 0 && g.Entry.DifficultySD > 0 {
			g.SD = g.Entry.DifficultySD
		}
		g.Tier = tierAfterPin(g.Difficulty, g.Entry.Tier, g.Entry.Difficulty)
	}
	return graded
}

// place applies a leader's placing to a prediction with its error. Zero means not given.
func place(modelSD, predicted float64, tier int, given float64) (placed, sd float64, pinned bool) {
	switch {
	case given > 0:
		return given, pinSD, true
	case tier > 0 && tierscale.Tier(predicted) != tier:
		return float64(tier), pinSD, true
	case tier > 0: // leader and model agree: surer than either
		return predicted, min(modelSD, pinSD), true
	}
	return predicted, modelSD, false
}

func tierAfterPin(placed float64, tier int, given float64) int {
	if tier > 0 && given <= 0 {
		return tier
	}
	return tierscale.Tier(placed)
}

// Anchoring needs this many placed phrases, and this share of the bank.
const (
	anchorEntries = 8
	anchorShare   = 0.75
)

// Anchor moves the model's scale to that of a leader who places phrases throughout: where at least
// 8 entries and three quarters of the bank have a tier, the result predicts higher or lower by the
// median of placing minus prediction. Difficulties don't count, since they may come from [Learn].
// It only shifts and never stretches, so that one tier stays one logit. Otherwise it returns m
// itself. Pass the result to whatever else is to be graded on the same scale, such as a repertoire
// or a call that is not in the bank.
func Anchor(m *difficulty.Model, b *bank.Bank) *difficulty.Model {
	placed := make([]Graded, len(b.Entries))
	for i, entry := range b.Entries {
		placed[i] = Graded{Entry: entry, Predicted: m.Unlimited(entry.Phrase)}
	}
	shift := anchorShift(placed)
	if shift == 0 {
		return m
	}
	return m.Raised(shift)
}

// anchorShift is how far the leader's placings lie above the predictions, 0 where they are too few.
func anchorShift(graded []Graded) float64 {
	var shifts []float64
	for i := range graded {
		if tier := graded[i].Entry.Tier; tier > 0 {
			shifts = append(shifts, float64(tier)-graded[i].Predicted)
		}
	}
	if len(shifts) < anchorEntries || float64(len(shifts)) < anchorShare*float64(len(graded)) {
		return 0
	}
	return median(shifts)
}

// GradedPart is one part of a piece on the tier scale.
type GradedPart struct {
	bank.Part
	Difficulty float64 // after the leader's placing, if any
	Predicted  float64 // by the model alone
	SD         float64 // in logits
	Tier       int     // Difficulty as a whole tier
}

// GradedPiece is a piece on the tier scale. It is as hard as its core part; where it has several,
// as the hardest of them, since somebody has to play it.
type GradedPiece struct {
	bank.Piece
	Difficulty float64      // of the core part, after the leader's placing
	Predicted  float64      // by the model alone
	SD         float64      // in logits
	Tier       int          // Difficulty as a whole tier
	Pinned     bool         // the leader's placing decided
	Parts      []GradedPart // in the order of the piece; hides Piece.Parts, the same without grades
}

// Easiest returns the easiest part with the given role; false where there is none.
func (p GradedPiece) Easiest(role bank.Role) (GradedPart, bool) {
	best, found := GradedPart{}, false
	for _, part := range p.Parts {
		if part.Role == role && (!found || part.Difficulty < best.Difficulty) {
			best, found = part, true
		}
	}
	return best, found
}

// GradeRepertoire grades every piece part by part, in the order of the repertoire. A piece's tier
// places its core part, by the rule of [GradeBank]; other parts are the model's. Pass a model from
// [Anchor] where a bank of the same leader is in use.
func GradeRepertoire(m *difficulty.Model, r *bank.Repertoire) []GradedPiece {
	graded := make([]GradedPiece, len(r.Pieces))
	for i, piece := range r.Pieces {
		graded[i] = gradePiece(m, piece)
	}
	return graded
}

func gradePiece(m *difficulty.Model, piece bank.Piece) GradedPiece {
	g := GradedPiece{Piece: piece, Parts: make([]GradedPart, len(piece.Parts))}
	core := -1
	for k, part := range piece.Parts {
		d := m.Difficulty(part.Phrase)
		g.Parts[k] = GradedPart{
			Part: part, Difficulty: d, Predicted: d, SD: m.SD(part.Phrase), Tier: tierscale.Tier(d),
		}
		if part.Role == bank.Core && (core < 0 || d > g.Parts[core].Difficulty) {
			core = k
		}
	}
	if core < 0 {
		return g
	}
	hardest := &g.Parts[core]
	hardest.Difficulty, hardest.SD, g.Pinned = place(hardest.SD, hardest.Predicted, piece.Tier, 0)
	hardest.Tier = tierAfterPin(hardest.Difficulty, piece.Tier, 0)
	g.Difficulty, g.Predicted, g.SD, g.Tier = hardest.Difficulty, hardest.Predicted, hardest.SD, hardest.Tier
	return g
}

// GradePhrase grades a phrase that is in no bank.
func GradePhrase(m *difficulty.Model, p rhythm.Phrase) Graded {
	d := m.Difficulty(p)
	return Graded{
		Entry: bank.Entry{Phrase: p}, Difficulty: d, Predicted: d, SD: m.SD(p), Tier: tierscale.Tier(d),
	}
}
