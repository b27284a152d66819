package assess

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"slices"

	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/rounds"
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
	data, err := io.ReadAll(io.LimitReader(r, maxTaps+1))
	if err != nil {
		return nil, fmt.Errorf("reading taps: %w", err)
	}
	if len(data) > maxTaps {
		return nil, &TapsError{
			Message: fmt.Sprintf("the file is larger than %d MiB", maxTaps>>20),
			Advice:  "split it by warm-ups",
		}
	}
	read := readTapTable
	if bytes.HasPrefix(data, []byte("MThd")) {
		read = readTapMIDI
	}
	tapped, err := read(data)
	if err != nil {
		return nil, err
	}
	if len(tapped) > maxRounds {
		return nil, &TapsError{Message: fmt.Sprintf("the file has %d rounds, more than %d",
			len(tapped), maxRounds), Advice: "split it by warm-ups"}
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
		for _, at := range slices.Concat(t.call, t.response) {
			end = max(end, at)
		}
	}
	report := s.report(Recorded{Duration: rounded(end, 4), Format: "taps"})
	report.add(heard, map[string]int{})
	return report, report.conclude(s)
}

// Bounds of a file of taps. A warm-up has some dozen rounds.
const (
	maxTaps   = 8 << 20 // bytes
	maxRounds = 500
)

// tapped is one round of onset times in seconds, ascending.
type tapped struct {
	label          string
	line           int // of its first call row; 0 for MIDI
	call, response []float64
}

// tapRound scores one round.
func (s *scale) tapRound(t tapped) (heardRound, error) {
	if len(t.call) < 2 {
		return heardRound{}, &TapsError{
			Line: t.line,
			Message: fmt.Sprintf("round %s has %s of the call", t.label,
				words.Count(len(t.call), "stroke")), Advice: "give at least two, in rows with the role call",
		}
	}
	if len(t.call) > maxStrokes || len(t.response) > maxStrokes {
		return heardRound{}, &TapsError{
			Line:    t.line,
			Message: fmt.Sprintf("round %s has more than %d strokes", t.label, maxStrokes),
			Advice:  "give each call a round of its own",
		}
	}
	distance := 0.0
	if len(t.response) > 0 {
		distance = t.response[0] - t.call[0]
	}
	h := heardRound{Round: rounds.Round{Template: -1, Attempt: 1, Confidence: 1}, sure: true, tapped: true}
	notes := t.call
	if i, call, ok := rounds.Identify(t.call, s.templates(), distance); ok {
		h.Template, h.entry, h.Call = i, &s.graded[i], call
		h.difficulty, h.difficultySD = h.entry.Difficulty, h.entry.SD
		notes = make([]float64, len(t.call))
		for k, stroke := range call.Phrase.Strokes() {
			notes[k] = call.Map.At(float64(stroke.Step))
		}
	} else if found, ok := rounds.Transcribe(t.call, distance); ok {
		h.Call = rounds.Call{Phrase: found.Phrase, Map: found.Map, Onsets: t.call}
		h.difficulty, h.difficultySD = s.grade(found.Phrase)
	} else {
		return heardRound{}, &TapsError{
			Line:    t.line,
			Message: fmt.Sprintf("no rhythm fits the call of round %s", t.label),
			Advice:  "check its times: seconds, ascending, at least 0.08 apart",
		}
	}
	if len(t.response) == 0 {
		return h, nil
	}
	// Notes are counted from step 0, so that the offset of the match is the time of step 0 of the
	// answer.
	origin := h.Call.Map.Origin
	relative := make([]float64, len(notes))
	for i, at := range notes {
		relative[i] = at - origin
	}
	match := response.MatchTaps(relative, t.response)
	answer := rounds.Answer{Map: rhythm.TimeMap{
		Origin:      match.Offset,
		StepSeconds: h.Call.Map.StepSeconds * match.Ratio,
	}, Match: match.Score}
	h.Answer = &answer
	h.expected = carried(h.Round)
	result := response.TapResult(h.Call.Phrase, h.expected, t.response, match)
	h.result = &result
	return h, nil
}

// maxStrokes bounds one round.
const maxStrokes = 200

// TapsError says what is wrong with a file of taps.
type TapsError struct {
	Line    int    // from 1; 0 where no line is meant
	Message string // what is wrong
	Advice  string // what to write instead
}

// Error is one line.
func (e *TapsError) Error() string {
	text := e.Message
	if e.Line > 0 {
		text = fmt.Sprintf("line %d: %s", e.Line, text)
	}
	if e.Advice != "" {
		text += "; " + e.Advice
	}
	return text
}

func validTime(x float64) bool { return !math.IsNaN(x) && x >= 0 && x <= 1e6 }
