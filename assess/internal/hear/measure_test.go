package hear

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/rhythm"
)

// How long a leader waits is nobody's mistake, but being a little early or late is.
func TestAnAnswerIsExpectedOnABeatOfTheLeader(t *testing.T) {
	phrase, err := rhythm.Parse("x x x x", rhythm.MustParseMeter("4/4"), 120)
	require.NoError(t, err)
	call := rounds.Call{Phrase: phrase, Map: rhythm.TimeMap{Origin: 1, StepSeconds: 0.5}}
	require.InDelta(t, 3, call.End(), 1e-9)
	for law, test := range map[string]struct{ begins, expected float64 }{
		"at once":                    {3.00, 3.0},
		"a little early":             {2.95, 3.0},
		"a little late":              {3.10, 3.0},
		"a beat later":               {3.52, 3.5},
		"after a bar of silence":     {4.97, 5.0},
		"a beat before the bar ends": {2.48, 2.5},
	} {
		t.Run(law, func(t *testing.T) {
			answer := rounds.Answer{Map: rhythm.TimeMap{Origin: test.begins, StepSeconds: 0.52}}
			got := Carried(rounds.Round{Call: call, Answer: &answer})
			assert.InDelta(t, test.expected, got.Origin, 1e-9)
			assert.InDelta(t, 0.5, got.StepSeconds, 1e-9, "the leader's tempo, not the group's")
		})
	}
}

func TestARepeatedAnswerThatNobodyGaveIsNone(t *testing.T) {
	faint, heard := &response.Result{Energy: leastAgain / 2}, &response.Result{Energy: 2 * leastAgain}
	again := rounds.Round{Attempt: 2}
	assert.True(t, Round{Round: again, Result: faint}.nobodyAgain())
	assert.False(t, Round{Round: again, Result: heard}.nobodyAgain())
	assert.False(t, Round{Round: again, Result: faint, Solo: true}.nobodyAgain(), "one person is faint")
	assert.False(t, Round{Round: rounds.Round{Attempt: 1}, Result: faint}.nobodyAgain(), "a first answer")
	assert.False(t, Round{Round: again}.nobodyAgain(), "nobody answered at all")
}
