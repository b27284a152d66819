// Package onset turns a stream of sound samples into what can be heard of clapping: the power of
// the clap bands over time, the attacks of single claps, and the bursts of many hands.
//
// Two views are needed because a group's clap is not an onset. One clapper near the phone rises
// within three milliseconds; a group's "one clap" is a cluster of such rises spread over a tenth of
// a second, whose first rise is early by the spread and says nothing about where the group placed
// the note.
//
//   - An [Envelope] holds mean power per 2 ms frame, in a low band and in the clap band.
//   - An [Attack] is one sharp rise in several bands at once: a single source.
//   - A [Burst] is a cluster of energy with centre, power, width and a confidence: one clap of a
//     person or of a group.
//   - [Analysis.Activity] is a curve of how much clapping goes on, whoever claps.
//
// # Conventions
//
// Times are seconds from the first sample, ascending in every list. The delay of the package's own
// filters is removed: the mean signed error on single claps is below a millisecond (see the tests),
// and a clap on the first sample is found. A frame is 2 ms, a step of the activity 10 ms; frame i
// covers i/FrameRate to (i+1)/FrameRate.
//
// Power is mean square per frame, in full scale squared; energy is power summed over frames.
// Decibels are of power, and are positive for what is louder: rise and contrast over what was there
// before, level relative to the recording's strong strokes (0 or less for most).
//
// The background is the slowly moving level between sounds, band by band. Width and spread are
// standard deviations of clap times.
//
// Everything is deterministic. Values are safe for concurrent reading once made; slices returned
// are the caller's.
package onset
