package picture

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/view/internal/boxes"
	"clapladder.example/rhythm"
)

func TestBoxesAreAsWideAsTheyLast(t *testing.T) {
	p := rhythm.MustParse("x x", "5/8=2+3", 96)
	b := boxPicture{grid: boxes.OfPhrase(p), phrase: p, widest: 400}
	b.scale()
	steps := p.BeatSteps()
	assert.InDelta(t, 1.5, float64(steps[2]-steps[1])/float64(steps[1]-steps[0]), 1e-9)
	assert.GreaterOrEqual(t, float64(steps[1])*b.unit, leastBeat-1e-9)
}
