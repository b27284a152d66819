package response

// Hints for the leader. Sources: two experienced teachers' published advice on echo clapping and
// rests (2009, 2012) for the first four; the rest is common practice, no source.
var hints = map[Kind]string{
	FilledRest:     "say the rest aloud (\"clap, clap, rest\"), then whisper it, then only think it",
	ShortRest:      "keep saying the rest aloud until it gets its full length, then let the voice fade",
	TowardTwoOne:   "say four quick syllables to a beat; clap the first and the last",
	ExtraTail:      "show the end with open hands; say the silent last beat aloud once",
	DroppedNote:    "go back to a phrase that worked, then try again",
	Thin:           "put words to it; say it together before you clap it",
	DroppedOffBeat: "keep the pulse in the feet while the hands clap; half the room claps the beat under it",
	MovedToBeat:    "clap the beat as well, softer each time, then leave it out",
	EvenedDotted:   "find a word that goes long-short; say it before you clap it",
	EarlyEntry:     "show with your whole body when it is their turn",
	Scattered:      "call it again a little slower, and listen for where it comes apart",
	AddedStroke:    "call it again without words, about a tenth slower",
	SpedUp:         "step the pulse while they answer; groups tend to speed up",
	SlowedDown:     "step the pulse while they answer",
	Split:          "breathe in and nod on the beat before their turn; let one half start and the other join",
	Apart:          "breathe in together before the first clap; stand closer",
}

// Hint is one line on what leaders do about a mistake; empty for an unknown kind.
func Hint(k Kind) string { return hints[k] }
