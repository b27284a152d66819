package engine

import "clapladder.example/assess/view"

// care is the cautions, shown where they matter; local rules and licensed practice come first.
func (e *Engine) care(struct{}) (any, error) {
	return map[string]string{
		"record": "Tell people that you record, and why; ask where your place asks for it, for " +
			"children their parents too. No sound is kept or sent anywhere.",
		"hearing": "Rooms of clapping get loud: offer ear protection and quiet moments. A phone " +
			"can't say whether a level is safe.",
		"hands": "Rings off, hands flat and relaxed, change between claps, pats and stamps. " +
			"Where something hurts, stop, and ask a professional.",
		"access": "Offer seated, one-handed and silent ways to join. They are heard as less, " +
			"which is no measure of ability.",
		"result": view.Caution,
		"rules":  "The rules of your place and the advice of licensed professionals come first.",
	}, nil
}
