package engine

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/patterns/bank"
)

// ask asks a command and reads its answer; what went wrong is returned.
func ask[T any](t testing.TB, e *Engine, name, args string) (ok T, wrong *Problem) {
	var a struct {
		OK    T
		Wrong *Problem
	}
	require.NoError(t, json.Unmarshal([]byte(e.Ask(name, args)), &a))
	return a.OK, a.Wrong
}

const fiveCalls = `{"calls":[{"phrase":"row","heard":"got"},{"phrase":"gangway","heard":"got"},{"phrase":"throw","heard":"partly"},` +
	`{"phrase":"load","heard":"lost"},{"phrase":"bell","heard":"got"}]}`

func TestATallyIsWhatTheLibrarySays(t *testing.T) {
	e := New("test")
	before, wrong := ask[sofar](t, e, "tally", `{"calls":[]}`)
	require.Nil(t, wrong)
	require.NotNil(t, before.Next, "there is a first call")
	assert.Equal(t, "x x x x", before.Next.Boxes, "plain beats first")

	got, wrong := ask[sofar](t, e, "tally", fiveCalls)
	require.Nil(t, wrong)
	assert.Len(t, got.Rounds, 5)
	assert.True(t, strings.HasPrefix(got.Tier, "Tier "), got.Tier)
	assert.True(t, strings.HasSuffix(got.Chance, "%"), got.Chance)
	var report assess.Report
	require.NoError(t, json.Unmarshal([]byte(got.Report), &report))
	assert.Equal(t, 5, report.Group.UsableRounds)

	page, wrong := ask[map[string]string](t, e, "page", `{"title":"Tide mill"}`)
	require.Nil(t, wrong)
	assert.Contains(t, page["html"], "<title>Tide mill")

	again := New("test") // a page that was opened again knows what the last one kept
	args, err := json.Marshal(named{Text: got.Report})
	require.NoError(t, err)
	restored, wrong := ask[sofar](t, again, "restore", string(args))
	require.Nil(t, wrong)
	assert.Equal(t, got.Tier, restored.Tier)
}

func TestWhatCannotBeDoneIsSaidAndBreaksNothing(t *testing.T) {
	e := New("test")
	for name, args := range map[string]string{
		"nothing": "{}", "tally": `{"calls":[{"phrase":"none such","heard":"got"}]}`, "page": "{}", "stop": "{}",
		"listen": `{"rate":3}`, "level": `{"rate":3}`, "restore": `{"text":"{"}`, "record": `{"kind":"warm-up","group":"a","date":"x"}`,
		"pieces": `{"tier":0}`, "card": "[",
	} {
		_, wrong := ask[any](t, e, name, args)
		if assert.NotNil(t, wrong, name) {
			assert.NotEmpty(t, wrong.Message, name)
		}
	}
	assert.Empty(t, e.Hear(make([]float32, 10)), "nobody listens")
	assert.Contains(t, e.File(bytes.NewReader([]byte("%PDF-1.7 and so on")), 0), "not a recording")
	_, wrong := ask[sofar](t, e, "tally", fiveCalls)
	assert.Nil(t, wrong)
}

func TestABrokenBankLeavesTheStarterAndSaysWhere(t *testing.T) {
	e := New("test")
	args, err := json.Marshal(mine{Bank: "[[phrase]]\nid = \"cleat\"\nmeter = \"4/4\"\nrhythm = \"x q xx x\"\n"})
	require.NoError(t, err)
	found, wrong := ask[struct{ Bank, Repertoire file }](t, e, "open", string(args))
	require.Nil(t, wrong)
	require.NotEmpty(t, found.Bank.Problems)
	assert.Equal(t, 4, found.Bank.Problems[0].Line)
	assert.NotEmpty(t, found.Bank.Problems[0].Advice)
	assert.True(t, found.Repertoire.Starter)
	list, _ := ask[[]phrase](t, e, "phrases", "{}")
	assert.Len(t, list, len(bank.Starter().Entries))
}

func TestAFileIsTakenForWhatItHolds(t *testing.T) {
	e := New("test")
	for text, kind := range map[string]string{
		string(bank.StarterText()):           "bank",
		string(bank.StarterRepertoireText()): "repertoire",
		`{"schema":"clapladder/history/1","group":"crew","date":"2026-03-02T12:00:00Z","rounds":[],"estimate":null}`: "log",
	} {
		args, err := json.Marshal(named{"file", text})
		require.NoError(t, err)
		found, wrong := ask[file](t, e, "check", string(args))
		require.Nil(t, wrong)
		assert.Equal(t, kind, found.Kind)
		assert.Empty(t, found.Problems)
	}
}

func TestTheLogKeepsShowsAndForgets(t *testing.T) {
	e := New("test")
	_, wrong := ask[sofar](t, e, "tally", fiveCalls)
	require.Nil(t, wrong)
	var lines []string
	for _, wish := range []string{
		`{"kind":"warm-up","group":"tide mill","date":"2026-03-02T12:30:00+01:00"}`,
		`{"kind":"note","group":"Tide  Mill","date":"2026-03-02T12:40:00+01:00","text":"two new"}`,
		`{"kind":"outcome","group":"tide mill","date":"2026-03-02T12:50:00+01:00","piece":"still-water","heard":"got"}`,
		`{"kind":"warm-up","group":"ferry crew","date":"2026-03-03T12:30:00+01:00"}`,
	} {
		made, wrong := ask[map[string]string](t, e, "record", wish)
		require.Nil(t, wrong, wish)
		lines = append(lines, made["line"])
	}
	args, err := json.Marshal(kept{Log: strings.Join(lines, "\n"), Group: "tide mill"})
	require.NoError(t, err)
	places, wrong := ask[[]int](t, e, "lines", string(args))
	require.Nil(t, wrong)
	assert.Equal(t, []int{0, 1, 2}, places)
	shown, wrong := ask[struct {
		Text, Picture string
		Notes         []string
	}](t, e, "trend", string(args))
	require.Nil(t, wrong)
	assert.NotEmpty(t, shown.Text)
	assert.Contains(t, shown.Picture, "<svg")
	assert.Len(t, shown.Notes, 2)
}

func TestTheCardLeadsFromEveryCallToAnEnd(t *testing.T) {
	e := New("test")
	type cell struct{ Place, Got, Lost string }
	card, wrong := ask[struct {
		Opening, Closing []phrase
		Branch           []cell
		Ends             []struct{ Place, Tier string }
	}](t, e, "card", "{}")
	require.Nil(t, wrong)
	require.NotEmpty(t, card.Branch)
	known := map[string]bool{}
	for _, c := range card.Branch {
		known[c.Place] = true
	}
	for _, end := range card.Ends {
		known[end.Place] = true
		assert.NotEmpty(t, end.Tier)
	}
	for _, c := range card.Branch {
		assert.True(t, known[c.Got] && known[c.Lost], "%+v", c)
	}
}

func TestPiecesAreFilteredAndCarryTheirChances(t *testing.T) {
	e := New("test")
	type found struct{ Openers, All []piece }
	all, wrong := ask[found](t, e, "pieces", `{"tier":3}`)
	require.Nil(t, wrong)
	assert.Len(t, all.All, len(bank.StarterRepertoire().Pieces))
	tag := all.All[0].Tags[0]
	with, wrong := ask[found](t, e, "pieces", `{"tier":3,"with":["`+tag+`"]}`)
	require.Nil(t, wrong)
	without, wrong := ask[found](t, e, "pieces", `{"tier":3,"without":["`+tag+`"]}`)
	require.Nil(t, wrong)
	assert.Equal(t, len(all.All), len(with.All)+len(without.All))
	for i := 1; i < len(all.All); i++ {
		assert.GreaterOrEqual(t, all.All[i-1].Part, all.All[i].Part, "surest first")
	}
}

// FuzzAsk asks with whatever arguments: an answer is always JSON with one of ok and wrong.
func FuzzAsk(f *testing.F) {
	for name := range commands {
		f.Add(name, "{}")
	}
	f.Add("tally", fiveCalls)
	f.Add("check", `{"name":"a.csv","text":"id,meter,rhythm\na,4/4,x x x x"}`)
	f.Fuzz(func(t *testing.T, name, args string) {
		var a map[string]json.RawMessage
		require.NoError(t, json.Unmarshal([]byte(New("test").Ask(name, args)), &a))
		assert.LessOrEqual(t, len(a), 1)
	})
}

func TestListeningHearsTheDemo(t *testing.T) {
	file, err := os.ReadFile("../../../../testdata/boatyard-lunch.wav")
	require.NoError(t, err)
	var want answerOfSoFar
	require.NoError(t, json.Unmarshal([]byte(New("test").File(bytes.NewReader(file), 0)), &want))
	e := New("test")
	_, wrong := ask[sofar](t, e, "listen", `{"rate":16000}`)
	require.Nil(t, wrong)
	samples := make([]float32, (len(file)-44)/2)
	for i := range samples {
		samples[i] = float32(int16(uint16(file[44+2*i])|uint16(file[45+2*i])<<8)) / 32768
	}
	news := 0
	for _, piece := range pieces(samples, 4096) {
		if text := e.Hear(piece); text != "" {
			var said answerOfSoFar
			require.NoError(t, json.Unmarshal([]byte(text), &said))
			assert.True(t, said.OK.Provisional)
			news++
		}
	}
	got, wrong := ask[sofar](t, e, "stop", "{}")
	require.Nil(t, wrong)
	assert.Equal(t, want.OK.Report, got.Report, "byte for byte")
	assert.Greater(t, news, 5)
}

type answerOfSoFar struct{ OK sofar }
