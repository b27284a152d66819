// Package openers chooses what to open with: the command pick, and the flags about that choice which
// score and tally have too.
package openers

import "clapladder.example/cmd/clapladder/internal/helptext"

// Texts are the help texts that have no room beside their flags.
var Texts = []helptext.Texts{choosingHelp}
