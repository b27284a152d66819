// Package groups holds the command history: the leader's log of groups, listed, followed over time,
// noted in, taken back and removed.
package groups

import "clapladder.example/cmd/clapladder/internal/helptext"

// Texts are the help texts that have no room beside their flags.
var Texts = []helptext.Texts{outcomeHelp, removeHelp, trendHelp}
