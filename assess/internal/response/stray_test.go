package response

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/rhythm"
)

// Twenty people clap four notes, ten more come after the third by the given time.
func TestLateHandsCountForTheirNoteAndFarOnesAreAnExtra(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 72)
	played := p.TimeMap(1)
	for _, test := range []struct {
		law           string
		late          float64 // seconds
		note, between float64 // of the full group
	}{
		{"within a tenth of a second they are late for it", 0.09, 1.5, 0},
		{"by a fifth they clap where nothing is", 0.2, 1, 0.5},
	} {
		t.Run(test.law, func(t *testing.T) {
			var times []float64
			for _, s := range p.Strokes() {
				times = append(times, played.At(float64(s.Step)))
			}
			a := crowd(t, 6, append(times, times[2]+test.late), []int{20, 20, 20, 20, 10}, 0.03)
			h := Measure(a, NewShapes(a.Kernel),
				Answer{Phrase: p, Expected: played, Guess: played, Until: math.Inf(1)})
			full := (h.Notes[0] + h.Notes[1] + h.Notes[3]) / 3
			assert.InDelta(t, test.note, h.Notes[2]/full, 0.2)
			near := 0.0
			for _, x := range h.Extras {
				if math.Abs(played.At(x.Step)-times[2]) < 0.3 {
					near += x.Energy / full
				}
			}
			assert.InDelta(t, test.between, near, 0.2)
		})
	}
}
