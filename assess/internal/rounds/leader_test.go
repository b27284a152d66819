package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/internal/onset"
)

// hands is a recording of strokes that sound alike, with an odd one in the end.
func hands(odd onset.Attack) *recording {
	var attacks []onset.Attack
	for k := range 12 {
		wide := float64(k%3-1) / 100
		attacks = append(attacks, onset.Attack{
			Time: float64(k), Power: 1, Contrast: 30 + 100*wide, Concentration: 0.5 + wide,
			Colour: 0.2 + wide, Thump: -5,
		})
	}
	odd.Time = 12
	r := &recording{attacks: append(attacks, odd), level: make([]float64, 13)}
	return r
}

// A stroke that was once taken for the leader's would be so for ever, if it were compared with
// itself.
func TestAnOddStrokeIsNotItsOwnWitness(t *testing.T) {
	r := hands(onset.Attack{Power: 1, Contrast: 25, Concentration: 0.25, Colour: 0.5, Thump: 5})
	var all []int
	for k := range r.attacks {
		all = append(all, k)
	}
	c := r.newClass(all)
	own, odd := r.features(3), r.features(12)
	assert.InDelta(t, c.Log(3, own, true), c.Log(3, own, false), 0.2, "others sound like it")
	assert.Greater(t, c.Log(12, odd, true)-c.Log(12, odd, false), 3.0, "none does")
	assert.Greater(t, c.Log(3, own, false)-c.Log(12, odd, false), 5.0)
}
