package view

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
)

func TestWhatWasLeftOutIsSaidOnceWithItsTimes(t *testing.T) {
	r := &assess.Report{Recording: assess.Recorded{Duration: 300, LeftOut: []assess.LeftOut{
		{Start: 0, End: 20, Why: assess.NotAsked},
		{Start: 20, End: 51.2, Why: assess.NoExchange},
		{Start: 176, End: 241.5, Why: assess.NoExchange},
	}}}
	var text strings.Builder
	require.NoError(t, Text(&text, r, Style{}))
	assert.Contains(t, strings.Join(strings.Fields(text.String()), " "),
		"Not listened to, as asked: 0:00 to 0:20.")
	assert.Contains(t, strings.Join(strings.Fields(text.String()), " "),
		"Left out, because no call and response was heard there: 0:20 to 0:51 and 2:56 to 4:01.")
	assert.Empty(t, notes(&assess.Report{}))
}

// A recording without call and response says so in its first line, with what was heard instead.
func TestWithoutAnExchangeTheFirstLineSaysWhatWasHeard(t *testing.T) {
	for heard, words := range instead {
		r := &assess.Report{Recording: assess.Recorded{Duration: 90, Format: "wav", Heard: heard}}
		var text strings.Builder
		require.NoError(t, Text(&text, r, Style{}))
		first, _, _ := strings.Cut(text.String(), "\n")
		assert.Contains(t, first, "no call and response heard"+words)
	}
}
