package bank

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadOutcomes(t *testing.T) {
	for name, text := range map[string]string{
		"comma":              "phrase,share,group\ngangway,0.8,monday\nbell,25%,monday\n",
		"semicolon, decimal": "group;share;phrase\r\nmonday;0,8;gangway\r\nmonday;25 %;bell\r\n",
		"other columns":      "date,id,share,notes,group\n2026-03-01,gangway,.8,\"wet, cold\",monday\n2026-03-01,bell,0.25,,monday\n",
		"mark and comment":   "\xef\xbb\xbf# spring\nphrase,share,group\ngangway,0.8,monday\n\nbell,0.25,monday",
	} {
		outcomes, err := ReadOutcomes("results.csv", []byte(text))
		require.NoError(t, err, name)
		require.Len(t, outcomes, 2, name)
		assert.Equal(t, "gangway", outcomes[0].Phrase, name)
		assert.Equal(t, "monday", outcomes[1].Group, name)
		assert.InDelta(t, 0.8, outcomes[0].Share, 1e-12, name)
		assert.InDelta(t, 0.25, outcomes[1].Share, 1e-12, name)
	}
	outcomes, err := ReadOutcomes("results.csv", []byte("phrase,share,group,n,sd\nbell,1,a,24,0.1\n"))
	require.NoError(t, err)
	assert.Equal(t, Outcome{Phrase: "bell", Group: "a", Share: 1, People: 24, SD: 0.1, Line: 2},
		outcomes[0])
}

func TestReadOutcomesSaysWhatToWriteInstead(t *testing.T) {
	_, err := ReadOutcomes("results.csv",
		[]byte("phrase,share,group\nbell,8,a\n,0.5,a\nbell,0.5,a,\nbell,half,a\n"))
	var file *FileError
	require.True(t, errors.As(err, &file))
	require.Len(t, file.Problems, 3)
	assert.Equal(t, 2, file.Problems[0].Line)
	assert.Equal(t, 6, file.Problems[0].Column)
	assert.Contains(t, file.Problems[0].Advice, "80%")
	assert.Contains(t, file.Problems[1].Message, "names no phrase")
	for name, text := range map[string]string{
		"empty": "", "no rows": "phrase,share,group\n",
		"no group": "phrase,share\nbell,1\n", "packed": "PK\x03\x04",
	} {
		_, err := ReadOutcomes("results.csv", []byte(text))
		assert.True(t, errors.As(err, &file), name)
	}
}

func FuzzReadOutcomes(f *testing.F) {
	f.Add([]byte("phrase,share,group\nbell,0.5,a\n"))
	f.Add([]byte("sep=;\nphrase;share;group;n\nbell;50 %;\"a;b\";3\n"))
	f.Add([]byte("phrase,share,group\n\"bell,0.5,a\n"))
	f.Add([]byte("phrase,share,group\nbell,NaN,a\nbell,1e400,b"))
	f.Fuzz(func(t *testing.T, data []byte) {
		outcomes, err := ReadOutcomes("results.csv", data)
		if err != nil {
			return
		}
		for _, o := range outcomes {
			if !(o.Share >= 0 && o.Share <= 1) || o.Phrase == "" || o.Line < 1 {
				t.Fatalf("%+v", o)
			}
		}
	})
}
