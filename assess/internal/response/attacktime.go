package response

import "clapladder.example/assess/internal/onset"

// The fit alone places the notes late, by how much depends on the room: its kernel is that of a
// leader nearby. What rises does not depend on the room, but says little where claps are many.
const (
	attackShare = 0.5   // weight of the attack-weighted time against the fitted one
	timeBias    = 0.006 // seconds by which the two together are late, with recorded claps in rooms
)

// timeByAttacks moves the notes towards the attack-weighted mean time of their claps: all of them
// together on the map, each for itself by what is left. Stamps and pats stay, which the clap band
// hardly shows.
func (h *Heard) timeByAttacks(a *onset.Analysis) {
	moved := make([]float64, len(h.Late))
	sum, total := 0.0, 0.0
	for i, s := range h.Phrase.Strokes() {
		if h.Notes[i] <= 0 || i < len(h.Low) && h.Low[i] {
			continue
		}
		at := h.Map.At(float64(s.Step)) + h.Late[i]
		moved[i] = attackShare*(a.AttackTime(at)-at) - timeBias
		sum += h.Notes[i] * moved[i]
		total += h.Notes[i]
	}
	if total == 0 {
		return
	}
	h.Map.Origin += sum / total
	for i := range h.Late {
		h.Late[i] += moved[i] - sum/total
	}
}
