package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNobodyAnswersWhereAnswersArePoorOrRare(t *testing.T) {
	rounds := func(unanswered int, matches ...float64) []proposal {
		out := make([]proposal, unanswered)
		for _, m := range matches {
			out = append(out, proposal{answer: &Answer{Match: m}})
		}
		return out
	}
	for _, test := range []struct {
		law    string
		chosen []proposal
		want   bool
	}{
		{"no answer at all needs no judgement", rounds(5), false},
		{"a group that answers", rounds(1, 0.6, 0.8, 0.7, 0.75), false},
		{"a loose group", rounds(0, 0.5, 0.47, 0.55, 0.6), false},
		{"one good answer among few calls", rounds(2, 0.8), false},
		{"answers missing now and then", rounds(4, 0.8, 0.7, 0.7), false},
		{"one answer among many calls", rounds(3, 0.9), true},
		{"answers that fit badly", rounds(0, 0.4, 0.42, 0.6, 0.3), true},
	} {
		t.Run(test.law, func(t *testing.T) { assert.Equal(t, test.want, nobodyAnswers(test.chosen)) })
	}
}

func TestAHabitIsLearntFromAnswersThatKeepIt(t *testing.T) {
	assert.Zero(t, habit{}.weight)
	assert.InDelta(t, 2.5, habit{}.costs(0.7, 1, 2.5), 1e-12, "without a habit everything costs what it did")
	h := habit{delay: 0.6, sd: 0.1, weight: 0.8}
	assert.Less(t, h.costs(0.6, 1, 2.5), 0.6, "the usual breath is cheap")
	assert.Greater(t, h.costs(0, 1, 0), 3.0, "what is usual elsewhere is not here")
	assert.LessOrEqual(t, h.costs(5, 1, 0), habitBreaks, "but it stays possible")
}
