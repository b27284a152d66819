package spoken

import (
	"fmt"
	"strings"
)

// System is one way to say a phrase: counting, length, beat-function, macro-micro or south-indian,
// as [ParseSystem] reads it.
type System uint8

// The systems, with their sources.
const (
	// Counting numbers the beats and names their parts: "1 e & a", triplets "1 trip let", in
	// compound metres every eighth "1 2 3 4 5 6", in additive metres each group from one "1 2 1 2 1
	// 2 3" (common practice, no source). Parts of a numbered eighth are "&", or "e & a".
	// Thirty-seconds in between are "ta"; five, seven and other unusual divisions count their boxes
	// from 2 (own choice). Source of the plain words: Lawson, Teaching rhythm.
	Counting System = iota

	// sayLengths are the Kodály names by length: ta a quarter, ti an eighth, ti-ka sixteenths in
	// pairs, ta-i a dotted quarter, ta-a a half; sh a rest. Source: district curriculum sheets of
	// the Kodály approach; tim (dotted eighth), tri-o-la (triplet) and sh from memory. Boxes carry
	// no lengths: here a stroke lasts to the next one if that comes before a whole silent beat has
	// gone by, otherwise to the end of its own beat; whole silent beats and silent beginnings are
	// rests (own choice). Lengths without a name take that of the next shorter one.
	sayLengths

	// sayBeatFunction are the syllables by place in the beat known as ta-ka-di-mi: ta, ta di, ta ka di
	// mi in two and four parts (source: Barker, Systems and sequence), ta ki da and ta va ki di da
	// ma in three and six, five and seven parts (Hoffman, Pelto & White 1996, from memory). Finer
	// parts in between are ti (own choice).
	sayBeatFunction

	// sayMacroMicro are Gordon's syllables by place in the beat: du, du de, du ta de ta; du da di and
	// du ta da ta di ta in three and six (Gordon, Learning Sequences in Music, from memory). Finer
	// parts in between are ta.
	sayMacroMicro

	// saySouthIndian are the syllables of South Indian drum counting by the number of boxes in a beat:
	// ta ka, ta ki ta, ta ka di mi, ta ka ta ki ta; seven is 3 + 4, nine 2 + 3 + 4 (Wade, Thinking
	// Musically, by way of a summary). One box is ta, six 4 + 2, eight 4 + 4 and longer ones fours
	// with the rest first (from memory or own choice).
	saySouthIndian
)

var systems = [...]string{
	Counting:        "counting",
	sayLengths:      "length",
	sayBeatFunction: "beat-function",
	sayMacroMicro:   "macro-micro",
	saySouthIndian:  "south-indian",
}

// Systems lists all systems in a fixed order. The caller owns the slice.
func Systems() []System {
	return []System{Counting, sayLengths, sayBeatFunction, sayMacroMicro, saySouthIndian}
}

// String is the short name that [ParseSystem] reads.
func (s System) String() string {
	if int(s) < len(systems) {
		return systems[s]
	}
	return "unknown system"
}

// ParseSystem reads a short name. Case and white space around it do not matter.
func ParseSystem(text string) (System, error) {
	var ids []string
	for _, s := range Systems() {
		if strings.EqualFold(strings.TrimSpace(text), s.String()) {
			return s, nil
		}
		ids = append(ids, s.String())
	}
	return 0, fmt.Errorf("%q is not a way of counting; write one of %s", text, strings.Join(ids, ", "))
}
