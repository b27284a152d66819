// Package testphrase makes many different phrases for tests and benchmarks.
package testphrase

import (
	"math/rand/v2"
	"strings"

	"clapladder.example/rhythm"
)

// OneBar returns every bar of 16 sixteenths in 4/4 that begins with a stroke, each eleventh of
// them.
func OneBar() []rhythm.Phrase {
	meter := rhythm.MustParseMeter("4/4")
	var phrases []rhythm.Phrase
	for bits := 1; bits < 1<<16; bits += 2 * 11 {
		var strokes []rhythm.Stroke
		for step := range 16 {
			if bits>>step&1 != 0 {
				strokes = append(strokes, rhythm.Stroke{Step: step})
			}
		}
		p, err := rhythm.New(meter, 96, 1, 4, strokes)
		if err != nil {
			panic(err)
		}
		phrases = append(phrases, p)
	}
	return phrases
}

// Random draws any phrase: metre, divisions, sounds, accents, one to three bars.
func Random(random *rand.Rand) rhythm.Phrase {
	meters := []string{"4/4", "3/4", "2/4", "6/8", "12/8", "5/4=3+2", "7/8=2+2+3", "2/2"}
	meter := rhythm.MustParseMeter(meters[random.IntN(len(meters))])
	for {
		var text strings.Builder
		for range 1 + random.IntN(3) {
			for range meter.Beats() {
				for range []int{1, 2, 3, 4, 6}[random.IntN(5)] {
					text.WriteByte("x..xXsp."[random.IntN(8)])
				}
				text.WriteByte(' ')
			}
			text.WriteByte('|')
		}
		if p, err := rhythm.Parse(text.String(), meter, 40+200*random.Float64()); err == nil {
			return p
		}
	}
}
