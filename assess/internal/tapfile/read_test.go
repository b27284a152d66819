package tapfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTablesOfTapsAreReadHoweverSpreadsheetsWriteThem(t *testing.T) {
	want := []Round{{Label: "1", Line: 2, Call: []float64{0.5, 1.25}, Response: []float64{2.5}}}
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
			got, err := readTable([]byte(input))
			require.NoError(t, err)
			assert.Equal(t, want, got)
		})
	}
	got, err := readTable([]byte("# taken at the slip, first try\nround;role;time_s\n1;call;0,5\n1;call;1,25\n1;response;2,5\n"))
	require.NoError(t, err, "a comment on top does not decide what separates")
	want[0].Line = 3
	assert.Equal(t, want, got)
}

func TestRoundsComeInOrderOfFirstMention(t *testing.T) {
	got, err := readTable([]byte("round,role,time_s\nb,call,9\na,call,1\nb,call,10\na,response,3\na,call,2\n"))
	require.NoError(t, err)
	assert.Equal(t, []Round{
		{Label: "b", Line: 2, Call: []float64{9, 10}},
		{Label: "a", Line: 3, Call: []float64{1, 2}, Response: []float64{3}},
	}, got)
}

func TestStreamsAreCutIntoRounds(t *testing.T) {
	for _, test := range []struct {
		law              string
		calls, responses []float64
		want             []Round
	}{
		{"a call begins after an answer", []float64{0, 0.6, 3, 3.6}, []float64{1.2, 1.8, 4.2}, []Round{
			{Label: "1", Call: []float64{0, 0.6}, Response: []float64{1.2, 1.8}},
			{Label: "2", Call: []float64{3, 3.6}, Response: []float64{4.2}},
		}},
		{
			"a call that nobody answers ends after a long gap",
			[]float64{0, 0.6, 4, 4.6},
			[]float64{5.2},
			[]Round{
				{Label: "1", Call: []float64{0, 0.6}},
				{Label: "2", Call: []float64{4, 4.6}, Response: []float64{5.2}},
			},
		},
		{"a rest within a call is no end", []float64{0, 1.9, 2.5}, []float64{3.1}, []Round{
			{Label: "1", Call: []float64{0, 1.9, 2.5}, Response: []float64{3.1}},
		}},
		{
			"an answer just before the call's last stroke does not end it",
			[]float64{0, 0.6, 1.2},
			[]float64{1.1, 1.8, 2.4},
			[]Round{
				{Label: "1", Call: []float64{0, 0.6, 1.2}, Response: []float64{1.1, 1.8, 2.4}},
			},
		},
		{"no answer at all", []float64{0, 0.6}, nil, []Round{{Label: "1", Call: []float64{0, 0.6}}}},
		{
			"an answer before any call",
			[]float64{5},
			[]float64{1},
			[]Round{{Label: "1", Response: []float64{1}}, {Label: "2", Call: []float64{5}}},
		},
		{"nothing", nil, nil, nil},
	} {
		t.Run(test.law, func(t *testing.T) {
			assert.Equal(t, test.want,
				splitRounds(test.calls, test.responses))
		})
	}
}
