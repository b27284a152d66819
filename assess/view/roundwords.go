package view

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/view/internal/wording"
)

// RoundName names what was called.
func RoundName(r assess.Round) string { return wording.RoundName(r) }

// RoundResult says who got it, or why that is not known.
func RoundResult(r assess.Round) string { return wording.RoundResult(r) }

// roundPlace says where in the recording the round lies, and how it was played.
func roundPlace(r assess.Round, s Style) string {
	dot := s.or(" · ", ", ")
	parts := []string{}
	if r.Call.End > 0 {
		parts = append(parts, "called at "+wording.Clock(r.Call.Start))
	}
	tempo := r.Meter
	if r.Call.Tempo > 0 {
		tempo += fmt.Sprintf(" at %.0f", r.Call.Tempo)
	}
	parts = append(parts, tempo)
	if r.Response != nil {
		if r.Response.Spread > 0 {
			parts = append(parts, "claps "+togetherness(r.Response.Spread))
		}
		if r.Response.LeaderAlong {
			parts = append(parts, "you clapped along")
		}
	}
	if r.Response != nil && r.Confidence < 0.5 {
		parts = append(parts, "not certain which phrase it was")
	}
	if r.CloseTo != nil {
		parts = append(parts, closeTo(*r.CloseTo))
	}
	if text := shareRange(r); text != "" {
		parts = append(parts, text)
	}
	return strings.Join(parts, dot)
}

// closeTo says which phrase a call would have been but for one stroke.
func closeTo(c assess.CloseTo) string {
	name := cmp.Or(c.Name, c.Phrase)
	whole, part := math.Modf(c.Beat)
	where := fmt.Sprintf("after %.0f", whole)
	switch math.Round(1000 * part) {
	case 0:
		where = fmt.Sprintf("on %.0f", whole)
	case 500:
		where = fmt.Sprintf("at the and of %.0f", whole)
	}
	if c.Beat < 1 {
		where = "before the beginning"
	}
	if c.Bar > 1 {
		where += fmt.Sprintf(" in bar %d", c.Bar)
	}
	return fmt.Sprintf("close to %s: you clapped one %s %s", name, c.Difference, where)
}

// shareRange is between what the share of a round lies, in steps of five per cent; empty where that
// is not known or not used.
func shareRange(r assess.Round) string {
	if r.ShareInterval == nil || !r.Usable {
		return ""
	}
	low, high := 5*math.Round(20*r.ShareInterval[0]), 5*math.Round(20*r.ShareInterval[1])
	return fmt.Sprintf("%.0f to %.0f %% of them got it", low, high)
}

// togetherness says a spread of clap times (standard deviation, ms) in words. Below 20 ms two
// sounds are heard as one, above 50 to 60 as two (order of two sounds: Hirsh 1959, from memory;
// flam width: common practice, no source).
func togetherness(spread float64) string {
	switch {
	case spread < 20:
		return "together"
	case spread <= 50:
		return "nearly together"
	}
	return "apart"
}

// mostErrors is how many mistakes of a round are worth reading in a break.
const mostErrors = 3

func shownErrors(r assess.Round) []assess.Error { return r.Errors[:min(mostErrors, len(r.Errors))] }

// Sentence gives text a capital letter at its beginning and a full stop at its end.
func Sentence(text string) string { return wording.Capital(text) + "." }
