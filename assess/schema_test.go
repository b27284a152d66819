package assess

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns/bank"
)

// fixedNames are the names of the report's JSON that other programs rely on. "[]" is any entry of a
// list, a question mark says that the value may be null.
const fixedNames = `
schema
recording.duration_s recording.sample_rate_hz recording.format
rounds[].phrase? rounds[].confidence
rounds[].call.start_s rounds[].call.tempo_bpm rounds[].call.onsets_s
rounds[].response?.start_s rounds[].response?.tempo_bpm rounds[].response?.onsets_s rounds[].response?.spread_ms rounds[].response?.offset_ms
rounds[].notes[].expected_s rounds[].notes[].played_s? rounds[].notes[].participation
rounds[].extras[].time_s rounds[].extras[].participation
rounds[].errors[].kind rounds[].errors[].bar rounds[].errors[].beat rounds[].errors[].text
rounds[].share? rounds[].score?
rounds[].level? rounds[].level_sd? rounds[].level_interval?
group.ability? group.ability_sd? group.ability_spread? group.mix? group.tier? group.tier_probabilities
openers[].piece openers[].role openers[].tier openers[].chance openers[].why
warnings[].code warnings[].text
`

// follow checks that a path of fixedNames is in a decoded report, and returns how many values it
// found.
func follow(t *testing.T, path string, at string, value any) int {
	if path == "" {
		return 1
	}
	part, rest, _ := strings.Cut(path, ".")
	optional := strings.HasSuffix(part, "?")
	part, list := strings.CutSuffix(strings.TrimSuffix(part, "?"), "[]")
	object, ok := value.(map[string]any)
	require.True(t, ok, "%s is no object", at)
	got, there := object[part]
	at += "." + part
	require.True(t, there, "%s is missing", at)
	if got == nil {
		require.True(t, optional, "%s is null", at)
		return 0
	}
	if !list {
		return follow(t, rest, at, got)
	}
	entries, ok := got.([]any)
	require.True(t, ok, "%s is no list", at)
	found := 0
	for _, entry := range entries {
		found += follow(t, rest, at+"[]", entry)
	}
	return found
}

func TestTheNamesOfTheReportAreFixed(t *testing.T) {
	stated, err := demoReport()
	require.NoError(t, err)
	unstated, err := Taps(t.Context(),
		strings.NewReader(twoRounds+"3,call,20\n3,call,20.3\n3,call,21\n"), nil, Options{})
	require.NoError(t, err)
	for law, report := range map[string]*Report{
		"what is stated is there": stated,
		"what is not is null":     unstated,
	} {
		t.Run(law, func(t *testing.T) {
			var decoded any
			require.NoError(t, json.Unmarshal([]byte(encoded(t, report)), &decoded))
			for path := range strings.FieldsSeq(fixedNames) {
				found := follow(t, path, "report", decoded)
				if report == stated && !strings.HasPrefix(path, "warnings") {
					assert.Positive(t, found, "%s does not occur", path)
				}
			}
		})
	}
	text := encoded(t, unstated)
	for _, null := range []string{`"phrase": null`, `"response": null`, `"share": null`, `"score": null`, `"ability": null`, `"ability_sd": null`, `"ability_spread": null`, `"mix": null`, `"tier": null`, `"next_call": null`} {
		assert.Contains(t, text, null)
	}
	for _, empty := range []string{`"notes": []`, `"extras": []`, `"errors": []`, `"openers": []`, `"tier_probabilities": []`} {
		assert.Contains(t, text, empty)
	}
}

// reportSchema compiles report.schema.json.
var reportSchema = sync.OnceValues(func() (*jsonschema.Schema, error) {
	data, err := os.ReadFile("report.schema.json")
	if err != nil {
		return nil, err
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("report.schema.json", document); err != nil {
		return nil, err
	}
	return compiler.Compile("report.schema.json")
})

func validate(t testing.TB, r *Report) error { return validateText(t, encoded(t, r)) }

func validateText(t testing.TB, text string) error {
	schema, err := reportSchema()
	require.NoError(t, err)
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	require.NoError(t, err)
	return schema.Validate(value)
}

func TestReportsFitTheSchema(t *testing.T) {
	phrases := bank.Starter()
	recorded, err := demoReport()
	require.NoError(t, err)
	tapped, err := Taps(t.Context(), strings.NewReader(twoRounds), phrases, Options{})
	require.NoError(t, err)
	unknown, err := Taps(t.Context(), strings.NewReader(twoRounds), nil, Options{})
	require.NoError(t, err)
	tallied, err := Tally([]Verdict{
		{"row", ability.Got},
		{"tie-fast", ability.Got},
		{"gangway", ability.Partly},
		{"clave", ability.Lost},
	}, phrases,
		Options{Repertoire: bank.StarterRepertoire()})
	require.NoError(t, err)
	nothing, err := Tally(nil, nil, Options{})
	require.NoError(t, err)
	for name, report := range map[string]*Report{
		"recording": recorded, "taps": tapped,
		"taps without a bank": unknown, "tally": tallied, "nothing": nothing,
	} {
		t.Run(name, func(t *testing.T) { assert.NoError(t, validate(t, report)) })
	}
}

// strictSchema is the schema with nothing allowed but what it describes.
func strictSchema(t *testing.T) *jsonschema.Schema {
	data, err := os.ReadFile("report.schema.json")
	require.NoError(t, err)
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	whole := document.(map[string]any)
	whole["unevaluatedProperties"] = false
	for name, definition := range whole["$defs"].(map[string]any) {
		if definition := definition.(map[string]any); definition["properties"] != nil && name != "played" { // a response is a played with more
			definition["unevaluatedProperties"] = false
		}
	}
	compiler := jsonschema.NewCompiler()
	require.NoError(t, compiler.AddResource("strict.json", document))
	schema, err := compiler.Compile("strict.json")
	require.NoError(t, err)
	return schema
}

func TestTheSchemaDescribesEveryFieldThatIsWritten(t *testing.T) {
	recorded, err := demoReport()
	require.NoError(t, err)
	tallied, err := Tally([]Verdict{{"row", ability.Got}, {"clave", ability.Lost}}, bank.Starter(), Options{})
	require.NoError(t, err)
	require.NotNil(t, tallied.NextCall)
	schema := strictSchema(t)
	for _, report := range []*Report{recorded, tallied} {
		text := encoded(t, report)
		value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		require.NoError(t, err)
		assert.NoError(t, schema.Validate(value))
		value, err = jsonschema.UnmarshalJSON(strings.NewReader(strings.Replace(text, `"usable": `, `"undescribed": 1, "usable": `, 1)))
		require.NoError(t, err)
		assert.Error(t, schema.Validate(value))
	}
}

func TestTheSchemaRefusesWhatIsNoReport(t *testing.T) {
	report, err := demoReport()
	require.NoError(t, err)
	text := encoded(t, report)
	require.NoError(t, validateText(t, text))
	for law, change := range map[string][2]string{
		"another version":               {`"schema": "clapladder/report/1"`, `"schema": "clapladder/report/2"`},
		"a renamed field":               {`"duration_s"`, `"duration"`},
		"a tier in words":               {`"tier": `, `"tier": "three", "before": `},
		"a mix nobody knows":            {`"mix": "`, `"mix": "very `},
		"an attempt before the first":   {`"attempt": 1`, `"attempt": 0`},
		"participation above everybody": {`"participation": `, `"participation": 1`},
		"a role nobody plays":           {`"role": "`, `"role": "un`},
		"a metre that is none":          {`"meter": "4/4"`, `"meter": "four"`},
		"an outline above the loudest":  {`"power_db": [`, `"power_db": [1, `},
		"a text left out":               {`"rounds"`, `"round"`},
	} {
		t.Run(law, func(t *testing.T) {
			require.Contains(t, text, change[0])
			assert.Error(t, validateText(t, strings.Replace(text, change[0], change[1], 1)))
		})
	}
	assert.NoError(t, validateText(t, strings.Replace(text, `"schema"`, `"later": {"more": 1}, "schema"`, 1)), "fields may be added")
}
