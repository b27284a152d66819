// Package phrases holds the commands about a leader's own material: grade, show, check, respace, add,
// export and learn. They read a bank or a repertoire and say how hard it is and what is wrong with it;
// add, learn and respace write back to it.
package phrases

import "clapladder.example/cmd/clapladder/internal/helptext"

// Texts are the help texts that have no room beside their flags.
var Texts = []helptext.Texts{
	addHelp, checkHelp, exportHelp, gradeHelp, learnHelp, showHelp,
}
