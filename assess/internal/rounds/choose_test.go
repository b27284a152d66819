package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// The call is "x . . x | x x x ."; its last four strokes alone are plain beats of the bank, which
// earn a little more.
func TestAReadingThatLeavesOutAStrongStrokeLosesToOneThatHasIt(t *testing.T) {
	for _, test := range []struct {
		law   string
		odds  float64 // of the first stroke
		dB    float64 // of the first stroke above the others
		final bool
		want  int // strokes of the chosen call
	}{
		{"a stroke of the leader's has a reason", oddsLimit, 0, true, 5},
		{"a stamp of the leader's too, however soft", oddsLimit, -17, true, 5},
		{"somebody else's needs none", -1, 0, true, 4},
		{"what the leader sounds like is not learnt from it", oddsLimit, 0, false, 4},
	} {
		t.Run(test.law, func(t *testing.T) {
			p := strokesOf([]float64{1, 2.8, 3.4, 4, 4.6})
			p.leader.odds[0], p.level[0], p.final = test.odds, test.dB, test.final
			whole := proposal{
				template: -1, phrase: rhythm.MustParse("x . . x | x x x .", "4/4", 100),
				matched: []int{0, 1, 2, 3, 4}, earned: 17, start: 1, end: 5.8,
			}
			beats := proposal{
				phrase:  rhythm.MustParse("x x x x", "4/4", 100),
				matched: []int{1, 2, 3, 4}, earned: 18, start: 2.8, end: 5.2,
			}
			chosen := p.choose([]proposal{whole, beats}, constraints{})
			require.Len(t, chosen, 1)
			assert.Len(t, chosen[0].matched, test.want)
		})
	}
}

func TestACallWithoutAnAnswerIsBelievedWhereItsStrokesNeedAReason(t *testing.T) {
	p := strokesOf([]float64{1, 1.6, 2.8})
	call := proposal{
		phrase:  rhythm.MustParse("x x . x", "4/4", 100),
		matched: []int{0, 1, 2}, earned: leastUnanswered - 3, start: 1, end: 3.4,
	}
	assert.Len(t, p.choose([]proposal{call}, constraints{}), 1)
	for k := range p.leader.odds {
		p.leader.odds[k] = 0
	}
	assert.Empty(t, p.choose([]proposal{call}, constraints{}), "anybody's strokes need none")
}

func TestTheNextCallMayBeginBeforeTheBarsOfTheAnswerAreOver(t *testing.T) {
	phrase := rhythm.MustParse("x xx x .", "4/4", 60)
	answered := proposal{
		phrase: phrase, answer: &Answer{Map: rhythm.TimeMap{Origin: 5, StepSeconds: 0.5}}, to: 9,
	}
	assert.InDelta(t, 7+nextAfter, answered.answerOver(), 1e-9, "its last note is on beat 3")
	assert.InDelta(t, 9, answered.barsOver(), 1e-9)
	answered.phrase = rhythm.MustParse("x xx x x..x", "4/4", 60)
	answered.answer.Map.StepSeconds = 0.25
	assert.InDelta(t, 9, answered.answerOver(), 1e-9, "it never lasts longer than its bars")
}

func TestACallMayBeginAndEndOnAStrokeThatAnotherOneCovers(t *testing.T) {
	template := Template{"beats", rhythm.MustParse("x x x x", "4/4", 100)}
	for _, test := range []struct {
		law  string
		odds []float64
		dB   float64 // of the strokes that sound like somebody else's
		want bool
	}{
		{"all sound like the leader", []float64{3, 3, 3, 3}, 0, true},
		{"the last is covered", []float64{3, 3, 3, -3}, 0, true},
		{"the first is covered", []float64{-3, 3, 3, 3}, 0, true},
		{"what is much softer covers nothing", []float64{3, 3, 3, -3}, -10, false},
		{"nor at the beginning", []float64{-3, 3, 3, 3}, -10, false},
	} {
		t.Run(test.law, func(t *testing.T) {
			p := strokesOf(played(template.Phrase, 1), template)
			p.single = []float64{3, 3, 3, 3}
			for k, odds := range test.odds {
				if p.leader.odds[k] = odds; odds < 0 {
					p.level[k] = test.dB
				}
			}
			proposals, err := p.propose(t.Context())
			require.NoError(t, err)
			found := false
			for _, c := range proposals {
				found = found || c.template == 0 && len(c.met()) == 4
			}
			assert.Equal(t, test.want, found)
		})
	}
}

func TestStrokesThatCountInHaveAReason(t *testing.T) {
	p := strokesOf([]float64{1, 1.6, 2.2, 2.8, 3.4, 4, 4.6, 5.2})
	call := proposal{
		phrase:  rhythm.MustParse("x x x x", "4/4", 100),
		matched: []int{4, 5, 6, 7}, start: 3.4, end: 5.8,
	}
	counted := call
	counted.start = 1
	assert.InDelta(t, 2*p.explains(call), p.explains(counted), 1e-9)
}
