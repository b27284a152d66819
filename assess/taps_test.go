package assess

import (
	"context"
	"strings"
	"testing"

	"clapladder.example/patterns/bank"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const twoRounds = `round,role,time_s
1,call,1.000
1,call,1.625
1,call,2.250
1,call,2.875
1,response,3.51
1,response,4.12
1,response,4.77
1,response,5.38
2,call,6.000
2,call,6.625
2,call,7.250
2,call,7.563
2,call,7.875
2,response,8.50
2,response,9.12
2,response,9.75
2,response,10.38
`

func TestTaps(t *testing.T) {
	bank := bank.Starter()
	report, err := Taps(context.Background(), strings.NewReader(twoRounds), bank, Options{})
	require.NoError(t, err)
	require.Len(t, report.Rounds, 2)
	first, second := report.Rounds[0], report.Rounds[1]
	require.NotNil(t, first.Phrase)
	assert.Equal(t, "row", *first.Phrase)
	assert.InDelta(t, 96, first.Call.Tempo, 0.5)
	assert.Greater(t, *first.Score, 0.9)
	assert.Less(t, *second.Score, 0.75, "one stroke is missing")
	assert.Greater(t, *second.Score, 0.5)
	assert.Nil(t, report.Group.Tier, "two rounds are too few")
}

func TestTapsNeedNoBank(t *testing.T) {
	report, err := Taps(context.Background(), strings.NewReader(twoRounds), nil, Options{})
	require.NoError(t, err)
	require.Len(t, report.Rounds, 2)
	assert.Nil(t, report.Rounds[0].Phrase)
	assert.Equal(t, "x x x x", report.Rounds[0].Notation)
	assert.Equal(t, "x x xx x", report.Rounds[1].Notation)
}

func TestTapsErrorsSayWhereAndWhatToWrite(t *testing.T) {
	for name, test := range map[string]struct{ input, want string }{
		"empty":             {"", `the table of taps is empty; begin with the line "round,role,time_s"`},
		"no rows":           {"round,role,time_s\n", `the table of taps has no row; write one row a stroke, for example "1,call,0.52"`},
		"missing column":    {"round,role\n1,call\n", `line 1: there is no column "time_s"; begin the file with the line "round,role,time_s"`},
		"unknown role":      {"round,role,time_s\n1,leader,0.5\n", `line 2: "leader" is not a role; write call or response`},
		"not a time":        {"round,role,time_s\n1,call,soon\n", `line 2: "soon" is not a time; write seconds from the start, for example 0.52`},
		"one stroke":        {"round,role,time_s\n1,call,0.5\n", `line 2: round 1 has 1 stroke of the call; give at least two, in rows with the role call`},
		"a recording":       {"RIFF\x00\x00\x00\x00WAVE", `this is neither a table of taps nor a MIDI file; give rows with the columns "round,role,time_s"`},
		"damaged MIDI file": {"MThd\x00\x00", ""},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Taps(context.Background(), strings.NewReader(test.input), nil, Options{})
			var taps *TapsError
			require.ErrorAs(t, err, &taps)
			if test.want != "" {
				assert.Equal(t, test.want, err.Error())
			}
		})
	}
}
