package assess

import (
	"math"
	"slices"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/hear"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/patterns"
)

// Thresholds of use.
const (
	leastConfidence = 0.5 // of a round, to count for the estimate
	// mean energy of the notes, over the full group's, below which the answer says nothing about
	// ability
	leastHeard = 0.12
)

// heardRound is a round with everything that was found out about it.
type heardRound struct {
	hear.Round
	entry        *patterns.Graded // nil for an improvised call
	closeTo      *CloseTo         // of an improvised call; nil: to none
	difficulty   float64
	difficultySD float64
	tapped       bool // onset times instead of sound
}

// measured are rounds with what came back.
func (s *scale) measured(a *onset.Analysis, found []rounds.Round) []heardRound {
	heard := hear.Measure(a, found, s.difficulty)
	out := make([]heardRound, len(heard))
	for i, r := range heard {
		out[i] = s.placed(r.Round)
		out[i].Round = r
	}
	return out
}

// difficulty of a round's phrase on the tier scale.
func (s *scale) difficulty(r rounds.Round) float64 {
	if r.Template >= 0 {
		return s.graded[r.Template].Difficulty
	}
	return s.model.Difficulty(r.Call.Phrase)
}

// placed is a round on the tier scale.
func (s *scale) placed(r rounds.Round) heardRound {
	h := heardRound{Round: hear.Round{Round: r}, difficulty: s.difficulty(r)}
	if r.Template >= 0 {
		h.entry = &s.graded[r.Template]
		h.difficultySD = h.entry.SD
	} else {
		h.difficultySD = s.model.SD(r.Call.Phrase)
		h.closeTo = s.closeTo(r.Call.Phrase)
	}
	return h
}

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
	if h.Result == nil {
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
	phrase, result := h.Call.Phrase, h.Result
	answer := &Response{
		Tempo: rounded(result.Tempo, 1), Spread: rounded(1000*result.Spread, 0),
		Offset:      rounded(1000*result.Offset, 0),
		LeaderAlong: h.Along, Onsets: []float64{},
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

// judge says what the rounds of a recording tell, as far as its levels can be trusted.
func (r *Report) judge(s *scale, heard []heardRound) error {
	unanswered := !slices.ContainsFunc(heard, func(h heardRound) bool { return h.Result != nil })
	switch flat := r.Recording.Flattened; {
	case flat == nil:
	case flat.Severe, unanswered: // answers that are not heard were taken by what flattened them
		flat.Severe = true
		r.withhold()
		return nil
	default:
		r.widen()
	}
	r.warnHeard(heard)
	if slices.ContainsFunc(heard, func(h heardRound) bool { return h.Solo }) {
		r.sayNothingOfOne()
	}
	return r.conclude(s)
}

// flattenedFactor widens the error of shares where the recorder took away some of the differences,
// but not so much that nothing is stated.
const flattenedFactor = 1.5

// flattened is what the recorder did to the levels; nil for nothing.
func flattened(f audio.Flattening) *Flattened {
	if f.Code == "" {
		return nil
	}
	return &Flattened{Kind: f.Code, Severity: rounded(f.Severity, 2), Severe: f.Severe()}
}

// withhold takes back what is read from levels: who got a phrase and the mistakes of most. What was
// called and when it came back stays.
func (r *Report) withhold() {
	r.forgetLevels()
	for i := range r.Rounds {
		round := &r.Rounds[i]
		round.Share, round.ShareSD, round.Score, round.Pulse, round.Pattern = nil, nil, nil, nil, nil
		round.Errors, round.Usable, round.ShareInterval, round.Reading = []Error{}, false, nil, nil
	}
}

// widen makes the errors of shares larger.
func (r *Report) widen() {
	r.forgetLevels()
	for i := range r.Rounds {
		if sd := r.Rounds[i].ShareSD; sd != nil {
			r.Rounds[i].ShareSD = new(rounded(*sd*flattenedFactor, 3))
		}
		if x := r.Rounds[i].Reading; x != nil {
			wider := *x // a report so far shares it with the next
			for k := range wider.Variance {
				wider.Variance[k] = rounded(wider.Variance[k]*flattenedFactor*flattenedFactor, 4)
			}
			r.Rounds[i].Reading = &wider
		}
		if x := r.Rounds[i].ShareInterval; x != nil {
			share := *r.Rounds[i].Share
			r.Rounds[i].ShareInterval = &[2]float64{
				rounded(max(share-(share-x[0])*flattenedFactor, 0), 3),
				rounded(min(share+(x[1]-share)*flattenedFactor, 1), 3),
			}
		}
	}
}

// sayNothingOfOne takes the rounds out of use where one person answers: they are listed, but no
// tier is stated of a person.
func (r *Report) sayNothingOfOne() {
	r.forgetLevels()
	for i := range r.Rounds {
		r.Rounds[i].Usable, r.Rounds[i].ShareSD, r.Rounds[i].Reading = false, nil, nil
	}
}

// forgetLevels takes back the levels that an earlier report so far told, when rounds count less by
// now.
func (r *Report) forgetLevels() {
	for i := range r.Rounds {
		r.Rounds[i].Level, r.Rounds[i].LevelSD, r.Rounds[i].LevelInterval = nil, nil, nil
	}
}
