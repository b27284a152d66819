// Package anyphrase draws phrases at random, for tests of what must hold for every phrase.
package anyphrase

import (
	"math/rand/v2"
	"strings"

	"clapladder.example/rhythm"
)

// Random draws a phrase of one to four bars in one of the metres, which are written as
// [rhythm.ParseMeter] reads them: any division of any beat, all sounds, accents, silent bars,
// tempos of 20 to 400 to the hundredth. It panics on a metre that can't be read.
func Random(r *rand.Rand, meters []string) rhythm.Phrase {
	for {
		meter := rhythm.MustParseMeter(meters[r.IntN(len(meters))])
		var b strings.Builder
		for bar := range 1 + r.IntN(4) {
			if bar > 0 {
				b.WriteString(" | ")
			}
			writeBar(&b, r, meter)
		}
		tempo := 20 + float64(r.IntN(38000))/100
		if p, err := rhythm.Parse(b.String(), meter, tempo); err == nil { // not all bars are silent
			return p
		}
	}
}

func writeBar(b *strings.Builder, r *rand.Rand, meter rhythm.Meter) {
	silent := r.IntN(4) == 0
	for i := range meter.Beats() {
		if i > 0 {
			b.WriteByte(' ')
		}
		boxes := 1 + r.IntN(rhythm.MaxBoxesPerBeat)
		if meter.Beats() == 1 {
			boxes = 1
		}
		for range boxes {
			if silent {
				b.WriteByte('.')
			} else {
				b.WriteByte("xXsSpPnN...."[r.IntN(12)])
			}
		}
	}
}
