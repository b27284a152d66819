package response

// Hints for the leader. Sources: two experienced teachers' published advice on echo clapping and rests (2009, 2012) for the
// first four; the rest is common practice, no source.
var hints = map[Kind]string{
	FilledRest:     "say the rest aloud (\"clap, clap, rest\"), then whisper it, then only think it",
	ShortRest:      "say the rest aloud until it has its full length, then fade the voice",
	TowardTwoOne:   "say four quick syllables to the beat, clap on the first and the last",
	ExtraTail:      "show the end with open hands; say the last beat's silence aloud once",
	DroppedNote:    "go back one step to a phrase that sat, then try again",
	Thin:           "put words to it; say it together before clapping",
	DroppedOffBeat: "keep the pulse in the feet while the hands clap; half the room claps the beat under it",
	MovedToBeat:    "clap the beat between as well, then softer, then leave it out",
	EvenedDotted:   "put a word to long-short and say it before clapping",
	EarlyEntry:     "show with the body when it is their turn",
	AddedStroke:    "call it once more without words, slower by a tenth",
	SpedUp:         "step the pulse while they answer; a group always speeds up",
	SlowedDown:     "step the pulse while they answer",
	Split:          "breathe in and nod on the beat before their turn; let one half start and the other join",
	Apart:          "breathe in together before the first clap; stand closer",
}

// Hint is one line on what leaders do about a mistake; empty for an unknown kind.
func Hint(k Kind) string { return hints[k] }
