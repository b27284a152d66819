package assess

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"clapladder.example/patterns/bank"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"
)

func TestTablesOfTapsAreReadHoweverSpreadsheetsWriteThem(t *testing.T) {
	want := []tapped{{label: "1", line: 2, call: []float64{0.5, 1.25}, response: []float64{2.5}}}
	for law, input := range map[string]string{
		"commas":                           "round,role,time_s\n1,call,0.5\n1,call,1.25\n1,response,2.5\n",
		"semicolons and decimal commas":    "round;role;time_s\n1;call;0,5\n1;call;1,25\n1;response;2,5\n",
		"tabs":                             "round\trole\ttime_s\n1\tcall\t0.5\n1\tcall\t1.25\n1\tresponse\t2.5\n",
		"a byte order mark":                "\xef\xbb\xbfround,role,time_s\n1,call,0.5\n1,call,1.25\n1,response,2.5\n",
		"line ends of another system":      "round,role,time_s\r\n1,call,0.5\r\n1,call,1.25\r\n1,response,2.5",
		"columns in another order":         "time_s,round,role\n0.5,1,call\n1.25,1,call\n2.5,1,response\n",
		"upper case and white space":       "Round , ROLE, Time_s\n 1, Call , 0.5\n1 ,CALL,1.25\n1,Response,2.5\n",
		"quoted cells":                     "\"round\",\"role\",\"time_s\"\n\"1\", \"call\",\"0.5\"\n1,call,1.25\n1,response,2.5\n",
		"more columns":                     "round,note,role,time_s\n1,first,call,0.5\n1,,call,1.25\n1,,response,2.5\n",
		"an empty first cell between tabs": "note\tround\trole\ttime_s\n\t1\tcall\t0.5\n\t1\tcall\t1.25\n\t1\tresponse\t2.5\n",
		"strokes in any order":             "round,role,time_s\n1,call,1.25\n1,response,2.5\n1,call,0.5\n",
		"exponents":                        "round,role,time_s\n1,call,5e-1\n1,call,125e-2\n1,response,2.5\n",
	} {
		t.Run(law, func(t *testing.T) {
			got, err := readTapTable([]byte(input))
			require.NoError(t, err)
			assert.Equal(t, want, got)
		})
	}
	got, err := readTapTable([]byte("# taken at the slip, first try\nround;role;time_s\n1;call;0,5\n1;call;1,25\n1;response;2,5\n"))
	require.NoError(t, err, "a comment on top does not decide what separates")
	want[0].line = 3
	assert.Equal(t, want, got)
}

func TestRoundsComeInOrderOfFirstMention(t *testing.T) {
	got, err := readTapTable([]byte("round,role,time_s\nb,call,9\na,call,1\nb,call,10\na,response,3\na,call,2\n"))
	require.NoError(t, err)
	assert.Equal(t, []tapped{
		{label: "b", line: 2, call: []float64{9, 10}},
		{label: "a", line: 3, call: []float64{1, 2}, response: []float64{3}},
	}, got)
}

func TestMoreErrorsOfTapTables(t *testing.T) {
	for law, test := range map[string]struct{ input, want string }{
		"a short row":           {"round,role,time_s\n1,call\n", `line 2: the row has 2 fields; write round, role and time, for example "1,call,0.52"`},
		"a negative time":       {"round,role,time_s\n1,call,-0.5\n", `line 2: "-0.5" is not a time; write seconds from the start, for example 0.52`},
		"a time without end":    {"round,role,time_s\n1,call,inf\n", `line 2: "inf" is not a time; write seconds from the start, for example 0.52`},
		"no number":             {"round,role,time_s\n1,call,NaN\n", `line 2: "NaN" is not a time; write seconds from the start, for example 0.52`},
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
	for i := range maxRounds + 1 {
		fmt.Fprintf(&many, "%d,call,1\n", i)
	}
	_, err = Taps(t.Context(), strings.NewReader(many.String()), nil, Options{})
	assert.EqualError(t, err, "the file has 501 rounds, more than 500; split it by warm-ups")
	_, err = Taps(t.Context(), bytes.NewReader(make([]byte, maxTaps+1)), nil, Options{})
	assert.EqualError(t, err, "the file is larger than 8 MiB; split it by warm-ups")
}

func TestStreamsAreCutIntoRounds(t *testing.T) {
	for _, test := range []struct {
		law              string
		calls, responses []float64
		want             []tapped
	}{
		{"a call begins after an answer", []float64{0, 0.6, 3, 3.6}, []float64{1.2, 1.8, 4.2}, []tapped{
			{label: "1", call: []float64{0, 0.6}, response: []float64{1.2, 1.8}},
			{label: "2", call: []float64{3, 3.6}, response: []float64{4.2}},
		}},
		{
			"a call that nobody answers ends after a long gap",
			[]float64{0, 0.6, 4, 4.6},
			[]float64{5.2},
			[]tapped{
				{label: "1", call: []float64{0, 0.6}},
				{label: "2", call: []float64{4, 4.6}, response: []float64{5.2}},
			},
		},
		{"a rest within a call is no end", []float64{0, 1.9, 2.5}, []float64{3.1}, []tapped{
			{label: "1", call: []float64{0, 1.9, 2.5}, response: []float64{3.1}},
		}},
		{
			"an answer just before the call's last stroke does not end it",
			[]float64{0, 0.6, 1.2},
			[]float64{1.1, 1.8, 2.4},
			[]tapped{
				{label: "1", call: []float64{0, 0.6, 1.2}, response: []float64{1.1, 1.8, 2.4}},
			},
		},
		{"no answer at all", []float64{0, 0.6}, nil, []tapped{{label: "1", call: []float64{0, 0.6}}}},
		{
			"an answer before any call",
			[]float64{5},
			[]float64{1},
			[]tapped{{label: "1", response: []float64{1}}, {label: "2", call: []float64{5}}},
		},
		{"nothing", nil, nil, nil},
	} {
		t.Run(test.law, func(t *testing.T) {
			assert.Equal(t, test.want,
				splitRounds(test.calls, test.responses))
		})
	}
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
