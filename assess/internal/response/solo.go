package response

import "math"

// One person claps a note or does not, so the strokes are laid on the phrase one by one. The window
// is that within which experts hear a stroke as its note, see [MatchTaps]; it is wider than theirs
// at slow notes, because the map here is fitted to sound.
const (
	soloWindow = 0.12 // seconds
	soloShare  = 0.4  // of the shortest interval
)

// Solo is what the answer of one person amounts to, whose strokes are at the given times
// (ascending, seconds): like [Heard.Result], but participation and share are 0 or 1, and Spread is
// how far the strokes lie around their notes.
func (h Heard) Solo(c Calibration, strokes []float64) Result {
	r := h.Result(c)
	notes := make([]float64, len(r.Notes))
	for i, n := range r.Notes {
		notes[i] = h.Map.At(float64(n.Stroke.Step))
	}
	own, stray, matched, squares := assign(notes, strokes, 0, 1, min(soloWindow, soloShare*shortest(notes)))
	for i, k := range own {
		r.Notes[i].Participation, r.Notes[i].Played = 0, math.NaN()
		if k >= 0 {
			r.Notes[i].Participation, r.Notes[i].Played = 1, strokes[k]
		}
	}
	r.Extras = nil
	for _, k := range stray {
		r.Extras = append(r.Extras, ExtraHeard{
			Step: h.Map.StepOf(strokes[k]), Time: strokes[k],
			Participation: 1,
		})
	}
	if matched > 0 {
		r.Spread = math.Sqrt(squares / float64(matched))
	}
	r.Energy = float64(matched) / float64(len(notes))
	r.Share = 0
	if matched == len(notes) && len(r.Extras) == 0 {
		r.Share = 1
	}
	r.Pulse, r.Pattern = h.pulseAndPattern(r.Notes)
	r.Score = score(r)
	r.Errors = nameErrors(h.Phrase, r)
	return r
}
