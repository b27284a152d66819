package labels

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
)

func TestMarksAreReadAsEditorsWriteThem(t *testing.T) {
	for _, test := range []struct {
		name, text string
		want       []assess.Mark
	}{
		{
			"start, end and label", "12.500000\t15.000000\tgangway\n",
			[]assess.Mark{{Start: 12.5, End: 15, Label: "gangway"}},
		},
		{
			"a label with spaces and tabs", "1\t2\tnice one\tagain",
			[]assess.Mark{{Start: 1, End: 2, Label: "nice one\tagain"}},
		},
		{"a point", "3.25\t3.25\thm\n", []assess.Mark{{Start: 3.25, End: 3.25, Label: "hm"}}},
		{"no label", "1\t2\n", []assess.Mark{{Start: 1, End: 2}}},
		{"a decimal comma", "1,5\t2,25\ta\n", []assess.Mark{{Start: 1.5, End: 2.25, Label: "a"}}},
		{
			"a line of frequencies", "1\t2\ta\n\\\t100.0\t2000.0\n3\t4\tb\n",
			[]assess.Mark{{Start: 1, End: 2, Label: "a"}, {Start: 3, End: 4, Label: "b"}},
		},
		{
			"a table with commas", "start_s,end_s,phrase\n12.5,15,gangway\n16,17,\n",
			[]assess.Mark{{Start: 12.5, End: 15, Label: "gangway"}, {Start: 16, End: 17}},
		},
		{
			"a table with tabs", "start_s\tend_s\tphrase\n12,5\t15\tgangway\n",
			[]assess.Mark{{Start: 12.5, End: 15, Label: "gangway"}},
		},
		{
			"a table of a spreadsheet with semicolons", "start_s;end_s;phrase\n12,5;15;\"a; b\"\n",
			[]assess.Mark{{Start: 12.5, End: 15, Label: "a; b"}},
		},
		{
			"columns in another order, others beside them",
			"# by ear\nphrase,who,end_s,start_s\nbell,me,2,1\n",
			[]assess.Mark{{Start: 1, End: 2, Label: "bell"}},
		},
		{
			"a byte-order mark, line ends of Windows, a remark and an empty line",
			"\xef\xbb\xbf# mine\r\n\r\n1\t2\ta\r\n",
			[]assess.Mark{{Start: 1, End: 2, Label: "a"}},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := Read([]byte(test.text))
			require.NoError(t, err)
			assert.Equal(t, test.want, got)
		})
	}
}

func TestWhatCannotBeReadSaysWhereAndWhatToWrite(t *testing.T) {
	for _, test := range []struct{ name, text, want string }{
		{
			"spaces for tabs", "1 2 a\n",
			"line 1: there is no header, and no two times with a tab between; write a table",
		},
		{"a word for a time", "\n1\tsoon\ta\n", `line 2: "soon" is not a time in seconds; write a table`},
		{"a word for a time in a table", "start_s,end_s\n1,soon\n", `line 2: "soon" is not a time in seconds; write a table`},
		{
			"a header without an end", "start_s,phrase\n1,a\n",
			"line 1: the header needs the columns start_s and end_s",
		},
		{
			"a line with one column", "start_s,end_s\n1\n",
			"line 2: the line has fewer columns than the header",
		},
		{"an open quote", "start_s,end_s,phrase\n1,2,\"a\n", "line 2: the quotes of this line don't match"},
		{"a header alone", "start_s,end_s,phrase\n", "the file has no marks"},
		{"a negative time", "-1\t2\ta\n", `line 1: "-1" is not a time in seconds`},
		{"not a number", "NaN\t2\ta\n", `line 1: "NaN" is not a time in seconds`},
		{
			"the end before the start", "5\t4\ta\n",
			"line 1: the mark ends at 4, before it starts at 5; write the earlier time first",
		},
		{"nothing", "", "the file has no marks; write a table"},
		{"a recording", "RIFF\x00\x00", "this is not a text file; write a table"},
		{
			"a flood", strings.Repeat("1\t2\ta\n", most+1),
			"line 10001: more than 10000 marks; keep the marks of one warm-up",
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Read([]byte(test.text))
			assert.ErrorContains(t, err, test.want)
			assert.NotContains(t, err.Error(), "\n")
		})
	}
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"1\t2\ta\n", "\\\t3\t4", "1,5\t2,5", "# x\n\xff",
		"1e300\t1e300\t", "start_s,end_s,phrase\n1,2,a", "end_s;start_s\n2;1,5",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		marks, err := Read(data)
		if err != nil {
			assert.Empty(t, marks)
			return
		}
		for _, m := range marks {
			assert.True(t, m.Start >= 0 && m.End >= m.Start && m.End <= 7*24*3600)
		}
	})
}
