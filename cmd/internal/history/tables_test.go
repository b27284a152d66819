package history

import (
	"bytes"
	"encoding/csv"
	"flag"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

var update = flag.Bool("update", false, "write golden files")

func compiledSchema(t testing.TB) *jsonschema.Schema {
	schema, err := os.ReadFile("history.schema.json")
	require.NoError(t, err)
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	require.NoError(t, compiler.AddResource("history.json", document))
	compiled, err := compiler.Compile("history.json")
	require.NoError(t, err)
	return compiled
}

func validate(t testing.TB, schema *jsonschema.Schema, line []byte) error {
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(line))
	require.NoError(t, err)
	return schema.Validate(value)
}

func TestEveryLineThatIsWrittenFitsTheSchema(t *testing.T) {
	schema := compiledSchema(t)
	bare := record("Lunch clappers", 0)
	bare.Estimate, bare.Rounds, bare.People, bare.Tool, bare.Source = nil, nil, 0, "", ""
	for _, r := range []Record{record("Lunch <clappers> & \"friends\"", 0), bare, tallied()} {
		line, err := r.Encode()
		require.NoError(t, err)
		assert.NoError(t, validate(t, schema, line))
	}
}

func TestSchemaAndCheckRefuseTheSameRecords(t *testing.T) {
	schema := compiledSchema(t)
	line, err := record("Lunch clappers", 0).Encode()
	require.NoError(t, err)
	for _, c := range [][2]string{
		{`"group":"Lunch clappers"`, `"group":""`},
		{`"date":"2026-03-01T12:30:00Z"`, `"date":"yesterday"`},
		{`"share":0.8`, `"share":1.8`},
		{`"attempt":1`, `"attempt":0`},
		{`"heard":"partly"`, `"heard":"nearly"`},
		{`,"heard":"partly"`, ``},
		{`"difficulty":2.1`, `"difficulty":99`},
		{`"ability_sd":0.5`, `"ability_sd":-0.5`},
		{`"people":24`, `"people":-24`},
		{`"schema":"clapladder/history/1"`, `"schema":"clapladder/history/2"`},
	} {
		require.Contains(t, string(line), c[0])
		broken := []byte(strings.Replace(string(line), c[0], c[1], 1))
		assert.Error(t, validate(t, schema, broken), c[1])
		_, _, problem := decode(broken, true)
		assert.NotNil(t, problem, c[1])
	}
}

// tallied is the record of a report made by ear.
func tallied() Record {
	report := &assess.Report{
		Tool: "clapladder 0.1.0", Recording: assess.Recorded{Format: "tally"},
		Group: assess.Group{
			Ability: new(4.2), AbilitySD: new(0.6), AbilityInterval: &[2]float64{3.2, 5.2},
			AbilitySpread: new(1.3),
			Mix:           new("some spread"), Tier: new(3), Comfort: 0.7,
		},
	}
	for i, heard := range []string{"got", "got", "partly", "lost", "got"} {
		e := bank.Starter().Entries[10*i]
		report.Rounds = append(report.Rounds, assess.Round{
			Phrase: new(e.ID), Notation: e.Phrase.String(), Meter: e.Phrase.Meter().String(),
			Heard:   heard,
			Attempt: 1, Confidence: 1, Difficulty: float64(i), Usable: true,
		})
	}
	return FromReport(report, About{
		Group: " Lunch  clappers", Date: time.Date(2026, 3, 1, 12, 30, 0, 0, time.UTC), People: 20,
		DifficultySD: func(assess.Round) float64 { return 0.9 },
	})
}

func TestReportBecomesARecordOfItsUsableRounds(t *testing.T) {
	r := tallied()
	require.NoError(t, r.Check())
	assert.Equal(t, "Lunch clappers", r.Group)
	assert.Equal(t, "tally", r.Source)
	require.Len(t, r.Rounds, 5)
	assert.Equal(t, "lost", r.Rounds[3].Heard)
	assert.Nil(t, r.Rounds[3].Share)
	assert.Equal(t, 0.9, r.Rounds[3].DifficultySD)
	require.NotNil(t, r.Estimate)
	assert.Equal(t, Estimate{
		Ability: 4.2, AbilitySD: 0.6, Interval: &[2]float64{3.2, 5.2}, AbilitySpread: 1.3,
		Mix: "some spread", Tier: new(3), Comfort: 0.7,
	}, *r.Estimate)

	report := &assess.Report{Rounds: []assess.Round{
		{Notation: "x x x x", Meter: "4/4", Share: new(0.5), Usable: false},
		{Notation: "x x x x", Meter: "4/4", Usable: true},
		{Notation: "x x x x", Meter: "4/4", Share: new(0.5), Usable: true},
	}}
	r = FromReport(report, About{
		Group: "Lunch clappers", Date: time.Now(),
		ShareSD: func(assess.Round) float64 { return 0.13 },
	})
	require.Len(t, r.Rounds, 1)
	assert.Equal(t, 1, r.Rounds[0].Attempt)
	assert.Equal(t, 0.13, r.Rounds[0].ShareSD)
	assert.Nil(t, r.Estimate, "nothing was stated")
}

func TestExportIsATableWithOneRowARound(t *testing.T) {
	odd := record("=1+2 clappers, \"loud\"", 3)
	odd.Rounds, odd.Estimate, odd.People = nil, nil, 0
	var out bytes.Buffer
	require.NoError(t, Export(&out, []Record{record("Lunch clappers", 0), odd}))
	if *update {
		require.NoError(t, os.WriteFile("testdata/export.csv", out.Bytes(), 0o644))
	}
	want, err := os.ReadFile("testdata/export.csv")
	require.NoError(t, err)
	assert.Equal(t, string(want), out.String())
	rows, err := csv.NewReader(&out).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 5)
}

func TestOutcomesAreFirstTriesAtPhrasesTheBankStillHas(t *testing.T) {
	called := ladder(t)
	r := record("Lunch clappers", 0)
	keel := called.Entries[2].Phrase.String()
	r.Rounds = []Round{
		{
			Phrase: new("rung-2"), Notation: keel, Meter: "4/4", Share: new(0.6), ShareSD: 0.1,
			Attempt: 1,
		},
		{Phrase: new("rung-2"), Notation: keel, Meter: "4/4", Share: new(0.9), Attempt: 2},
		{Phrase: new("rung-2"), Notation: "x . x .", Meter: "4/4", Share: new(0.9), Attempt: 1},
		{Phrase: new("gone"), Notation: keel, Meter: "4/4", Share: new(0.9), Attempt: 1},
		{Notation: keel, Meter: "4/4", Share: new(0.9), Attempt: 1},
		{Phrase: new("rung-0"), Notation: "x x x x", Meter: "4/4", Heard: "got", Attempt: 1},
	}
	later := r
	later.Date = r.Date.AddDate(0, 0, 7)
	got := Outcomes([]Record{r, later}, called)
	require.Len(t, got, 4)
	assert.Equal(t, bank.Outcome{
		Phrase: "rung-2", Group: "Lunch clappers 2026-03-01T12:30:00Z",
		Share: 0.6, SD: 0.1, People: 24,
	}, got[0])
	assert.Equal(t, bank.Outcome{
		Phrase: "rung-0", Group: "Lunch clappers 2026-03-01T12:30:00Z",
		Share: 0.85, SD: 0.2, People: 24,
	}, got[1])
	assert.NotEqual(t, got[0].Group, got[2].Group, "another date is another group")
	_, err := patterns.Learn(difficulty.DefaultModel(), called, got)
	assert.NoError(t, err, "the learner takes them")
}

func TestGroupsAreListedWithTheirDates(t *testing.T) {
	records := []Record{
		record("Lunch clappers", 3), record("Night tide", 0),
		record("lunch  Clappers", 1), record("Lunch Clappers", 9),
	}
	groups := Groups(records)
	assert.Equal(t, []Group{
		{Label: "Lunch Clappers", WarmUps: 3, First: records[2].Date, Last: records[3].Date},
		{Label: "Night tide", WarmUps: 1, First: records[1].Date, Last: records[1].Date},
	}, groups)
	assert.Len(t, Of(records, "LUNCH CLAPPERS"), 3)
}
