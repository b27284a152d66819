package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/rhythm"
)

func TestTheSameCallGetsTheSameNameThroughoutARecording(t *testing.T) {
	one := rhythm.MustParse("x x x .", "4/4", 100)
	other := rhythm.MustParse("x . x . | x . . .", "4/4", 200)
	p := strokesOf([]float64{1, 1.6, 2.2, 11, 11.6, 12.2, 21, 21.61, 22.2, 31, 31.6, 31.9})
	read := func(template int, phrase rhythm.Phrase, earned float64, matched ...int) proposal {
		c := p.timed(proposal{template: template, phrase: phrase, earned: earned, matched: matched})
		c.answer = &Answer{Match: 0.8, Map: rhythm.TimeMap{
			Origin: c.call.At(float64(phrase.Steps())), StepSeconds: c.call.StepSeconds,
		}}
		return c
	}
	all := []proposal{
		read(3, one, 14, 0, 1, 2), read(4, other, 15, 0, 1, 2),
		read(3, one, 14, 3, 4, 5), read(4, other, 11, 3, 4, 5),
		read(3, one, 14, 6, 7, 8), read(4, other, 13, 6, 7, 8),
	}
	chosen := p.named([]proposal{all[1], all[2], all[4]}, all)
	for _, c := range chosen {
		assert.Equal(t, 3, c.template, "what all calls together say")
	}
	free := read(-1, one, 9, 0, 1, 2)
	written := read(-1, other, 12, 3, 4, 5)
	chosen = p.named([]proposal{free, written}, nil)
	for i, c := range chosen {
		assert.True(t, c.phrase.Equal(other), "the better notation holds for both")
		assert.InDelta(t, []float64{1, 11}[i], c.call.At(0), 1e-9, "on the strokes that it has")
		assert.InDelta(t, 0.6, c.answer.Map.At(2)-c.answer.Map.At(0), 1e-9, "and so does its answer")
	}
	different := read(5, rhythm.MustParse("x xx .", "3/4", 100), 14, 9, 10, 11)
	chosen = p.named([]proposal{all[0], different}, all)
	assert.Equal(t, 5, chosen[1].template, "another rhythm keeps its own")
}
