package assess

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"

	"clapladder.example/assess/internal/tapfile"
	"clapladder.example/patterns/bank"
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

func TestMoreErrorsOfTapTables(t *testing.T) {
	for law, test := range map[string]struct{ input, want string }{
		"a short row":           {"round,role,time_s\n1,call\n", `line 2: the row has 2 fields; write round, role and time, for example "1,call,0.52"`},
		"a negative time":       {"round,role,time_s\n1,call,-0.5\n", `line 2: "-0.5" is not a time; write seconds from the start, for example 0.52`},
		"a time without end":    {"round,role,time_s\n1,call,inf\n", `line 2: "inf" is not a time; write seconds from the start, for example 0.52`},
		"no number":             {"round,role,time_s\n1,call,NaN\n", `line 2: "NaN" is not a time; write seconds from the start, for example 0.52`},
		"a quote left open":     {"round,role,time_s\n\"1\nround,r\",call,1\n1,call,2\n", `line 2: the round is no number or short name on one line; number the rounds 1, 2, 3 …, and close every quotation mark`},
		"no round":              {"round,role,time_s\n1,call,1\n\n ,call,2\n", `line 4: the round is missing; number the rounds 1, 2, 3 …`},
		"a stray quote":         {"round,role,time_s\n1,call,\"0.5\n", `line 2: the row can't be read: extraneous or missing " in quoted-field; write plain rows, for example "1,call,0.52"`},
		"an answer without":     {"round,role,time_s\n7,response,1\n", `line 2: round 7 has 0 strokes of the call; give at least two, in rows with the role call`},
		"two strokes at once":   {"round,role,time_s\n1,call,1\n1,call,1\n1,call,1\n", `line 2: no rhythm fits the call of round 1; check its times: seconds, ascending, at least 0.08 apart`},
		"another kind of table": {"a,b\n1,2\n", `line 1: there is no column "round"; begin the file with the line "round,role,time_s"`},
	} {
		t.Run(law, func(t *testing.T) {
			report, err := Taps(t.Context(), strings.NewReader(test.input), nil, Options{})
			var taps *TapsError
			require.ErrorAs(t, err, &taps)
			assert.Equal(t, test.want, err.Error())
			assert.Nil(t, report)
		})
	}
	var long strings.Builder
	long.WriteString("round,role,time_s\n")
	for i := range maxStrokes + 1 {
		fmt.Fprintf(&long, "1,call,%d\n", i)
	}
	_, err := Taps(t.Context(), strings.NewReader(long.String()), nil, Options{})
	assert.EqualError(t, err, "line 2: round 1 has more than 200 strokes; give each call a round of its own")
	var many strings.Builder
	many.WriteString("round,role,time_s\n")
	for i := range tapfile.MaxRounds + 1 {
		fmt.Fprintf(&many, "%d,call,1\n", i)
	}
	_, err = Taps(t.Context(), strings.NewReader(many.String()), nil, Options{})
	assert.EqualError(t, err, "the file has 501 rounds, more than 500; split it by warm-ups")
	_, err = Taps(t.Context(), bytes.NewReader(make([]byte, tapfile.MaxBytes+1)), nil, Options{})
	assert.EqualError(t, err, "the file is larger than 8 MiB; split it by warm-ups")
}

// midiOf writes onsets in seconds as the two tracks of a Standard MIDI File, 960 ticks a quarter at
// 120 quarters a minute, with gomidi, which is not what reads it.
func midiOf(t testing.TB, streams ...[]float64) []byte {
	file := smf.New()
	file.TimeFormat = smf.MetricTicks(960)
	for _, onsets := range streams {
		var track smf.Track
		last := 0.0
		for _, at := range onsets {
			now := math.Round(at * 1920)
			track.Add(uint32(now-last), midi.NoteOn(9, 39, 90))
			track.Add(0, midi.NoteOff(9, 39))
			last = now
		}
		track.Close(0)
		require.NoError(t, file.Add(track))
	}
	var out bytes.Buffer
	_, err := file.WriteTo(&out)
	require.NoError(t, err)
	return out.Bytes()
}

func TestMIDIAndTableOfTheSameTapsAgree(t *testing.T) {
	table, err := Taps(t.Context(), strings.NewReader(twoRounds), bank.Starter(), Options{})
	require.NoError(t, err)
	data := midiOf(
		t,
		[]float64{1, 1.625, 2.25, 2.875, 6, 6.625, 7.25, 7.563, 7.875},
		[]float64{3.51, 4.12, 4.77, 5.38, 8.5, 9.12, 9.75, 10.38},
	)
	file, err := Taps(t.Context(), bytes.NewReader(data), bank.Starter(), Options{})
	require.NoError(t, err)
	require.Len(t, file.Rounds, len(table.Rounds))
	for i, want := range table.Rounds {
		got := file.Rounds[i]
		assert.Equal(t, want.Phrase, got.Phrase)
		assert.InDelta(t, *want.Score, *got.Score, 0.01)
		assert.InDelta(t, want.Call.Start, got.Call.Start, 0.001)
		assert.InDelta(t, want.Response.Offset, got.Response.Offset, 1)
	}
}

func TestTapsErrorsOfMIDI(t *testing.T) {
	for _, data := range [][]byte{
		midiOf(t, nil), midiOf(t, nil, nil), []byte("MThd"),
		midiOf(t, []float64{1, 2})[:30],
	} {
		_, err := Taps(t.Context(), bytes.NewReader(data), nil, Options{})
		var taps *TapsError
		require.ErrorAs(t, err, &taps)
		assert.NotEmpty(t, taps.Advice)
	}
}

func TestARoundWithoutAnswerHasNoResponse(t *testing.T) {
	report, err := Taps(t.Context(),
		strings.NewReader("round,role,time_s\n1,call,1\n1,call,1.6\n1,call,2.2\n1,call,2.8\n"), nil,
		Options{})
	require.NoError(t, err)
	require.Len(t, report.Rounds, 1)
	assert.Nil(t, report.Rounds[0].Response)
	assert.Nil(t, report.Rounds[0].Share)
	assert.False(t, report.Rounds[0].Usable)
	assert.Contains(t, codes(report), "no-answers")
}

func FuzzTaps(f *testing.F) {
	f.Add([]byte(twoRounds))
	f.Add([]byte("round;role;time_s\n1;call;0,5\n1;call;1,25\n"))
	f.Add([]byte("time_s\tround\trole\n1\ta\tcall\n1.0001\ta\tcall\n1000000\ta\tresponse\n"))
	f.Add([]byte("\xef\xbb\xbf#x\nround,role,time_s\n\"1\",call,1e6\n1,call,0\n"))
	f.Add(midiOf(f, []float64{0, 0.6, 1.2}, []float64{1.8, 2.4}))
	f.Add([]byte("MThd\x00\x00\x00\x06\x00\x01\x00\x02\x00\x60MTrk\x00\x00\x00\x00"))
	f.Add([]byte("RIFF\x00"))
	bank := &bank.Bank{Entries: bank.Starter().Entries[:6]}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 4096 {
			return
		}
		report, err := Taps(context.Background(), bytes.NewReader(data), bank, Options{})
		if err != nil {
			var taps *TapsError
			require.ErrorAs(t, err, &taps)
			require.NotContains(t, err.Error(), "\n")
			return
		}
		require.NoError(t, validate(t, report))
		for _, r := range report.Rounds {
			if r.Score != nil {
				require.True(t, *r.Score >= 0 && *r.Score <= 1)
			}
		}
	})
}
