// Package about holds the commands about the program itself: settings, shell completion, manual pages
// and version.
package about

import "clapladder.example/cmd/clapladder/internal/helptext"

// Texts are the help texts that have no room beside their flags.
var Texts = []helptext.Texts{manualHelp, settingsHelp}
