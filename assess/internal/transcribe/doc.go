// Package transcribe reads a single row of onset times as a phrase: the phrase of a bank whose
// strokes they are, the one they miss by a stroke, or else the simplest notation that fits (beat and
// grid found, metre chosen).
//
// # Conventions
//
// Times are seconds, ascending. Costs are natural logarithms of odds: what fits worse, or is
// rarer, costs more. Results are deterministic; nothing is kept.
package transcribe
