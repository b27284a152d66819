// Package calls holds the commands that prepare a warm-up: a card to follow, calls as sound or MIDI,
// and the demo, which is a made-up warm-up to try things with.
package calls

import "clapladder.example/cmd/clapladder/internal/helptext"

// Texts are the help texts that have no room beside their flags.
var Texts = []helptext.Texts{cardHelp, demoHelp, soundHelp}
