package assess

import (
	"context"
	"fmt"
	"io"
	"math"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/rhythm"
)

// Burst is one clap, of one person or of a whole group at once.
type Burst struct {
	Time       float64 `json:"time_s"`     // its middle, seconds from the start of the recording
	Power      float64 `json:"power_db"`   // dB relative to the strongest burst, 0 or less
	Width      float64 `json:"width_ms"`   // standard deviation of the hands in it; 0 for a single clap
	Confidence float64 `json:"confidence"` // 0 to 1, that it is one clap
}

// Bursts lists the claps of a recording by time, for people who annotate and to compare detectors.
// Warnings are those of the decoder. Errors are those of [Recording].
func Bursts(ctx context.Context, r io.Reader, o audio.Options) ([]Burst, []Warning, error) {
	stream, err := audio.Open(ctx, r, o)
	if err != nil {
		return nil, nil, err
	}
	defer stream.Close()
	analysis, err := onset.Examine(ctx, stream)
	if err != nil {
		return nil, nil, err
	}
	var warnings []Warning
	for _, w := range stream.Warnings() {
		warnings = append(warnings, Warning{Code: string(w.Code), Text: w.Text})
	}
	found := analysis.Bursts()
	strongest := 0.0
	for _, b := range found {
		strongest = max(strongest, b.Power)
	}
	bursts := make([]Burst, len(found))
	for i, b := range found {
		if !(b.Power > 0) {
			return nil, nil, fmt.Errorf("the burst at %.3f s has no power", b.Time)
		}
		bursts[i] = Burst{b.Time, 10 * math.Log10(b.Power/strongest), 1000 * b.Width, b.Confidence}
	}
	return bursts, warnings, nil
}

// What belongs to a phrase that one person claps for the program.
const (
	surePhrase  = 0.5 // least confidence of a clap
	faintest    = -25 // dB below the strongest clap; fainter ones are echoes or other sounds
	longestRest = 2.5 // seconds; after that the phrase is over
)

// Transcribe writes down the phrase that bursts begin with: what one person clapped, up to the
// first long silence. It is false where there is none.
func Transcribe(bursts []Burst) (rhythm.Phrase, bool) {
	var times []float64
	for _, b := range bursts {
		if b.Confidence < surePhrase || b.Power < faintest {
			continue
		}
		if len(times) > 0 && b.Time-times[len(times)-1] > longestRest {
			break
		}
		times = append(times, b.Time)
	}
	found, ok := rounds.Transcribe(times, 0)
	return found.Phrase, ok
}
