package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/rhythm"
)

// answeredAfter is a call of one bar whose answer begins the given time after its end, in seconds.
func answeredAfter(notation, meter string, tempo, delay, match float64) proposal {
	p := proposal{phrase: rhythm.MustParse(notation, meter, tempo)}
	p.call = p.phrase.TimeMap(10)
	end := p.call.At(float64(p.phrase.Steps()))
	p.answer = &Answer{
		Map:   rhythm.TimeMap{Origin: end + delay, StepSeconds: p.call.StepSeconds},
		Match: match,
	}
	return p
}

func TestTheBreathIsLearntInTheUnitInWhichItIsKept(t *testing.T) {
	for _, test := range []struct {
		law    string
		chosen []proposal
		unit   unit
		delay  float64
	}{
		{"a bar, whatever its metre and tempo", []proposal{
			answeredAfter("x x x x", "4/4", 120, 2, 0.7), answeredAfter("x x x", "3/4", 90, 2, 0.7),
			answeredAfter("x x x x", "4/4", 80, 3, 0.7),
			answeredAfter("x x x", "3/4", 120, 1.5, 0.7),
		}, inBars, 1},
		{"two beats", []proposal{
			answeredAfter("x x x x", "4/4", 120, 1, 0.7), answeredAfter("x x x", "3/4", 60, 2, 0.7),
			answeredAfter("x x", "2/4", 80, 1.5, 0.7),
			answeredAfter("x x x", "3/4", 120, 1, 0.7),
		}, inBeats, 2},
		{"a breath of a second and a half", []proposal{
			answeredAfter("x x x x", "4/4", 120, 1.5, 0.7),
			answeredAfter("x x x", "3/4", 60, 1.5, 0.7), answeredAfter("x x", "2/4", 80, 1.5, 0.7),
		}, inSeconds, 1.5},
		{"the next bar: no time in any unit", []proposal{
			answeredAfter("x x x x", "4/4", 120, 0, 0.7), answeredAfter("x x x", "3/4", 60, 0, 0.7),
			answeredAfter("x x", "2/4", 80, 0, 0.7),
		}, inBars, 0},
	} {
		t.Run(test.law, func(t *testing.T) {
			h := learnHabit(test.chosen)
			assert.Equal(t, test.unit, h.unit)
			assert.InDelta(t, test.delay, h.delay, 1e-9)
			assert.InDelta(t, habitSD, h.sd, 1e-9)
			assert.Greater(t, h.weight, 0.5)
		})
	}
	loose := learnHabit([]proposal{
		answeredAfter("x x x x", "4/4", 120, 0, 0.7),
		answeredAfter("x x x x", "4/4", 120, 1.1, 0.7), answeredAfter("x x x x", "4/4", 120, 3.3, 0.7),
	})
	assert.Zero(t, loose.weight, "answers at any time are no habit")
}

func TestAnswersAreExpectedWhereCallsAreAnswered(t *testing.T) {
	good := answeredAfter("x x x x", "4/4", 120, 0, 0.7)
	poor := answeredAfter("x x x x", "4/4", 120, 0, 0.3)
	unanswered := proposal{phrase: good.phrase, call: good.call}
	assert.Greater(t, learnHabit([]proposal{good, good, good, good}).answers, 1.0)
	assert.Less(t, learnHabit([]proposal{unanswered, unanswered, unanswered, good}).answers, 0.0)
	assert.Less(t, learnHabit([]proposal{poor, poor, poor, poor}).answers, 0.0,
		"what fits badly is no sign that anybody answers")
	assert.Zero(t, learnHabit(nil).answers)
}
