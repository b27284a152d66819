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
		{"start, end and label", "12.500000\t15.000000\tgangway\n", []assess.Mark{{Start: 12.5, End: 15, Label: "gangway"}}},
		{"a label with spaces and tabs", "1\t2\tnice one\tagain", []assess.Mark{{Start: 1, End: 2, Label: "nice one\tagain"}}},
		{"a point", "3.25\t3.25\thm\n", []assess.Mark{{Start: 3.25, End: 3.25, Label: "hm"}}},
		{"no label", "1\t2\n", []assess.Mark{{Start: 1, End: 2}}},
		{"a decimal comma", "1,5\t2,25\ta\n", []assess.Mark{{Start: 1.5, End: 2.25, Label: "a"}}},
		{"a line of frequencies", "1\t2\ta\n\\\t100.0\t2000.0\n3\t4\tb\n", []assess.Mark{{Start: 1, End: 2, Label: "a"}, {Start: 3, End: 4, Label: "b"}}},
		{"a byte-order mark, line ends of Windows, a remark and an empty line", "\xef\xbb\xbf# mine\r\n\r\n1\t2\ta\r\n", []assess.Mark{{Start: 1, End: 2, Label: "a"}}},
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
		{"spaces for tabs", "1 2 a\n", "line 1: there are no two times with a tab between; write start and end"},
		{"a word for a time", "\n1\tsoon\ta\n", `line 2: "soon" is not a time in seconds; write start and end`},
		{"a negative time", "-1\t2\ta\n", `line 1: "-1" is not a time in seconds`},
		{"not a number", "NaN\t2\ta\n", `line 1: "NaN" is not a time in seconds`},
		{"the end before the start", "5\t4\ta\n", "line 1: the mark ends at 4, before it starts at 5; write the earlier time first"},
		{"nothing", "", "the file has no marks; write start and end"},
		{"a recording", "RIFF\x00\x00", "this is not a text file; write start and end"},
		{"a flood", strings.Repeat("1\t2\ta\n", Most+1), "line 10001: more than 10000 marks; keep the marks of one warm-up"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Read([]byte(test.text))
			assert.ErrorContains(t, err, test.want)
			assert.NotContains(t, err.Error(), "\n")
		})
	}
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{"1\t2\ta\n", "\\\t3\t4", "1,5\t2,5", "# x\n\xff", "1e300\t1e300\t"} {
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
