// Package listen holds the commands that judge a warm-up: score from a recording, live sound or taps,
// tally from what the leader heard, and bursts, which only lists the claps.
//
// score goes these steps: the recordings are found (score.go, newest.go), what they are judged by is
// made ready once (scoring.go), one is heard to its end, while it comes in (live.go) or many side by
// side (batch.go), and the report is saved and shown (reporting.go).
package listen

import "clapladder.example/cmd/clapladder/internal/helptext"

// Texts are the help texts that have no room beside their flags.
var Texts = []helptext.Texts{scoreHelp, tallyHelp, reportingHelp}
