package assess

import (
	"context"
	"fmt"
	"io"
	"slices"

	"clapladder.example/assess/internal/hear"
	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/assess/internal/tapfile"
	"clapladder.example/assess/internal/transcribe"
	"clapladder.example/assess/internal/words"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

// tapShareSD is the error of what a single stream of taps says about who got a phrase.
const tapShareSD = 0.12

// Taps reports on onset times instead of sound: pads, or recordings that a person annotated. The
// input is a table with the columns round, role (call or response) and time_s, or a Standard MIDI
// File whose first track is the calls and whose second is the responses; which of the two is seen
// from the content. Each round is scored against the phrase of the bank that its call is, else
// against the call as tapped; bank may be nil. Errors are *TapsError, or that of r.
func Taps(ctx context.Context, r io.Reader, bank *bank.Bank, o Options) (*Report, error) {
	tapped, err := tapfile.Read(r)
	if err != nil {
		return nil, err
	}
	s := newScale(bank, o)
	end := 0.0
	var heard []heardRound
	for _, t := range tapped {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		h, err := s.tapRound(t)
		if err != nil {
			return nil, err
		}
		heard = append(heard, h)
		for _, at := range slices.Concat(t.Call, t.Response) {
			end = max(end, at)
		}
	}
	report := s.report(Recorded{Duration: rounded(end, 4), Format: "taps"})
	report.add(heard, map[string]int{})
	return report, report.conclude(s)
}

// tapRound scores one round.
func (s *scale) tapRound(t tapfile.Round) (heardRound, error) {
	if len(t.Call) < 2 {
		return heardRound{}, &TapsError{
			Line: t.Line,
			Message: fmt.Sprintf("round %s has %s of the call", t.Label,
				words.Count(len(t.Call), "stroke")), Advice: "give at least two, in rows with the role call",
		}
	}
	if len(t.Call) > maxStrokes || len(t.Response) > maxStrokes {
		return heardRound{}, &TapsError{
			Line:    t.Line,
			Message: fmt.Sprintf("round %s has more than %d strokes", t.Label, maxStrokes),
			Advice:  "give each call a round of its own",
		}
	}
	distance := 0.0
	if len(t.Response) > 0 {
		distance = t.Response[0] - t.Call[0]
	}
	h := heardRound{tapped: true}
	h.Round = hear.Round{Round: rounds.Round{Template: -1, Attempt: 1, Confidence: 1}, Sure: true}
	notes := t.Call
	if i, line, ok := transcribe.Identify(t.Call, s.phrases(), distance); ok {
		h.Template, h.entry = i, &s.graded[i]
		phrase := h.entry.Phrase
		call := rounds.Call{
			Phrase: phrase.WithTempo(line.Tempo(phrase)), Map: line, Onsets: t.Call,
		}
		h.Call = call
		h.difficulty, h.difficultySD = h.entry.Difficulty, h.entry.SD
		notes = make([]float64, len(t.Call))
		for k, stroke := range call.Phrase.Strokes() {
			notes[k] = call.Map.At(float64(stroke.Step))
		}
	} else if found, ok := transcribe.Onsets(t.Call, distance); ok {
		h.Call = rounds.Call{Phrase: found.Phrase, Map: found.Map, Onsets: t.Call}
		h.difficulty, h.difficultySD = s.model.Difficulty(found.Phrase), s.model.SD(found.Phrase)
	} else {
		return heardRound{}, &TapsError{
			Line:    t.Line,
			Message: fmt.Sprintf("no rhythm fits the call of round %s", t.Label),
			Advice:  "check its times: seconds, ascending, at least 0.08 apart",
		}
	}
	if len(t.Response) == 0 {
		return h, nil
	}
	// Notes are counted from step 0, so that the offset of the match is the time of step 0 of the
	// answer.
	origin := h.Call.Map.Origin
	relative := make([]float64, len(notes))
	for i, at := range notes {
		relative[i] = at - origin
	}
	match := response.MatchTaps(relative, t.Response)
	answer := rounds.Answer{Map: rhythm.TimeMap{
		Origin:      match.Offset,
		StepSeconds: h.Call.Map.StepSeconds * match.Ratio,
	}, Match: match.Score}
	h.Answer = &answer
	h.Expected = hear.Carried(h.Round.Round)
	result := response.TapResult(h.Call.Phrase, h.Expected, t.Response, match)
	h.Result = &result
	return h, nil
}

// maxStrokes bounds one round.
const maxStrokes = 200

// TapsError says what is wrong with a file of taps.
type TapsError = tapfile.Error
