package assess

import (
	"math"

	"clapladder.example/assess/internal/response"
)

// Thresholds of use.
const (
	leastConfidence = 0.5 // of a round, to count for the estimate
	// mean energy of the notes, over the full group's, below which the answer says nothing about
	// ability
	leastHeard = 0.12
)

// add writes the rounds into the report. attempts counts the answers to each phrase before them,
// and goes on counting.
func (r *Report) add(heard []heardRound, attempts map[string]int) {
	for _, h := range heard {
		round := h.round(attempts)
		if round.Usable {
			h.judge(&round)
		}
		r.Rounds = append(r.Rounds, round)
	}
}

// round turns one heard round into the report's form. attempts counts answers to each phrase so
// far.
func (h heardRound) round(attempts map[string]int) Round {
	phrase := h.Call.Phrase
	out := Round{
		Confidence: rounded(h.Confidence, 3), Notation: phrase.Written(), Meter: phrase.Meter().String(),
		Difficulty: rounded(h.difficulty, 2), DifficultySD: rounded(h.difficultySD, 2),
		Notes: []Note{}, Extras: []Extra{}, Errors: []Error{},
		Call: Played{
			Start: rounded(h.Call.Start(), 4), End: rounded(h.Call.End(), 4),
			Tempo:  rounded(h.Call.Map.Tempo(phrase), 1),
			Onsets: roundedAll(h.Call.Onsets, 4),
		},
	}
	key := phrase.Meter().String() + " " + phrase.String()
	out.CloseTo = h.closeTo
	if h.entry != nil {
		id := h.entry.ID
		out.Phrase, out.Name, key = &id, h.entry.Name, id
	}
	if h.result == nil {
		out.Attempt = attempts[key] + 1
		return out
	}
	attempts[key]++
	out.Attempt = attempts[key]
	h.fill(&out)
	return out
}

// fill adds what came back.
func (h heardRound) fill(out *Round) {
	phrase, result := h.Call.Phrase, h.result
	answer := &Response{
		Tempo: rounded(result.Tempo, 1), Spread: rounded(1000*result.Spread, 0),
		Offset:      rounded(1000*result.Offset, 0),
		LeaderAlong: h.along, Onsets: []float64{},
	}
	for i, n := range result.Notes {
		bar, beat := phrase.Position(n.Stroke.Step)
		note := Note{
			Bar: bar, Beat: rounded(beat, 4), Expected: rounded(n.Expected, 4),
			Participation: rounded(n.Participation, 3),
		}
		if !math.IsNaN(n.Played) {
			played := rounded(n.Played, 4)
			note.Played = &played
			answer.Onsets = append(answer.Onsets, played)
		}
		if i == 0 {
			answer.Start = rounded(result.Start, 4)
		}
		out.Notes = append(out.Notes, note)
	}
	answer.End = rounded(result.End, 4)
	for _, x := range result.Extras {
		bar, beat := phrase.PositionAt(x.Step)
		out.Extras = append(out.Extras, Extra{
			Bar: bar, Beat: rounded(beat, 4),
			Time: rounded(x.Time, 4), Participation: rounded(x.Participation, 3),
		})
	}
	for _, e := range result.Errors {
		out.Errors = append(out.Errors, Error{
			Kind: string(e.Kind), Bar: e.Bar,
			Beat: rounded(e.Beat, 4), Text: e.Text, Hint: response.Hint(e.Kind),
		})
	}
	share, score, pulse := rounded(result.Share, 3), rounded(result.Score, 3), rounded(result.Pulse, 3)
	out.Response, out.Share, out.Score = answer, &share, &score
	if !math.IsNaN(result.Pulse) {
		out.Pulse = &pulse
	}
	if pattern := rounded(result.Pattern, 3); !math.IsNaN(pattern) {
		out.Pattern = &pattern
	}
	out.Usable = h.Confidence >= leastConfidence && (h.tapped || result.Energy >= leastHeard)
}

func rounded(x float64, digits int) float64 {
	scale := math.Pow(10, float64(digits))
	y := math.Round(x*scale) / scale
	if y == 0 {
		return 0 // not -0
	}
	return y
}

func roundedAll(xs []float64, digits int) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = rounded(x, digits)
	}
	return out
}
