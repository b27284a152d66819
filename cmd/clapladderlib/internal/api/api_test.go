package api

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/patterns/bank"
)

type answer struct {
	Report  *assess.Report
	Phrases []graded
	Error   *problem
}

func read(t *testing.T, data []byte) answer {
	t.Helper()
	var a answer
	require.NoError(t, json.Unmarshal(data, &a), string(data))
	return a
}

const taps = "round,role,time_s\n1,call,0\n1,call,0.6\n1,call,1.2\n1,call,1.8\n1,response,2.4\n" +
	"1,response,3\n1,response,3.6\n1,response,4.2\n"

func TestScoreReturnsAReport(t *testing.T) {
	wav, err := os.ReadFile(filepath.Join("..", "..", "..", "..", "testdata", "boatyard-lunch.wav"))
	require.NoError(t, err)
	got := read(t, Score(wav, []byte(`{"people": 18}`)))
	require.Nil(t, got.Error)
	assert.Equal(t, assess.Schema, got.Report.Schema)
	assert.NotEmpty(t, got.Report.Rounds)
	tapped := read(t, Score([]byte(taps), []byte(`{"taps": true}`)))
	require.NotNil(t, tapped.Report)
	assert.Len(t, tapped.Report.Rounds, 1)
}

func TestWhatGoesWrongIsSaidInTheAnswer(t *testing.T) {
	for _, test := range []struct {
		name, data, options, kind, message string
	}{
		{"no sound", "not a recording", "", BadInput, "this is a text file"},
		{"nothing", "", "", BadInput, "empty"},
		{"no JSON", taps, "{", BadOptions, "the options can't be read"},
		{"an option that there is not", taps, `{"peopel": 3}`, BadOptions, "peopel"},
		{"a share that is none", taps, `{"comfort": 7}`, BadOptions, "comfort is 7"},
		{"a phrase that there is not", taps, `{"order": ["nowhere"]}`, BadOptions, `no phrase "nowhere"`},
		{"a broken bank", taps, `{"bank": "[[phrase]]"}`, BadBank, "the phrase has no"},
		{"a broken repertoire", taps, `{"repertoire": "x"}`, BadBank, ""},
	} {
		got := read(t, Score([]byte(test.data), []byte(test.options)))
		require.NotNil(t, got.Error, test.name)
		assert.Equal(t, test.kind, got.Error.Kind, test.name)
		assert.Contains(t, got.Error.Message, test.message, test.name)
	}
	assert.Equal(t, BadBank, read(t, Grade([]byte("[[phrase]]"))).Error.Kind)
	assert.Contains(t, read(t, guarded(func() []byte { panic("x") })).Error.Message, "internal error: x")
}

func TestGradeFollowsTheOrderOfTheBank(t *testing.T) {
	got := read(t, Grade(nil))
	require.Len(t, got.Phrases, len(bank.Starter().Entries))
	for i, e := range bank.Starter().Entries {
		assert.Equal(t, e.ID, got.Phrases[i].ID)
		assert.Positive(t, got.Phrases[i].Tier)
	}
	assert.JSONEq(t, `{"version":"`+version()+`","report_schema":"clapladder/report/1"}`, string(Version()))
}

func FuzzScoreOptions(f *testing.F) {
	for _, seed := range []string{`{"people":3}`, `{"bank":"id,meter,rhythm\na,4/4,x x x x\n"}`, `{"order":["row"],"taps":true}`, `[]`, `{"tempo_bpm":1e999}`} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, options string) {
		got := read(t, Score([]byte(taps), []byte(options)))
		assert.True(t, (got.Report == nil) != (got.Error == nil))
	})
}
