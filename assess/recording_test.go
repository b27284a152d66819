package assess

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/warmups"
	"clapladder.example/patterns/bank"
)

var demoWAV = sync.OnceValue(func() []byte {
	data, err := os.ReadFile("../testdata/boatyard-lunch.wav")
	if err != nil {
		panic(err)
	}
	return data
})

// demoReport listens to the demo once for all tests, with openers.
var demoReport = sync.OnceValues(func() (*Report, error) {
	return Recording(context.Background(), bytes.NewReader(demoWAV()), bank.Starter(),
		Options{Repertoire: bank.StarterRepertoire(), Tool: "test"})
})

func demoTruth(t *testing.T) synth.Truth {
	data, err := os.ReadFile("../testdata/boatyard-lunch.truth.json")
	require.NoError(t, err)
	var fields map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(data, &fields))
	delete(fields, "mix") // a name that is written but not read
	data, err = json.Marshal(fields)
	require.NoError(t, err)
	var truth synth.Truth
	require.NoError(t, json.Unmarshal(data, &truth))
	return truth
}

func TestTheDemoIsHeardAsItHappened(t *testing.T) {
	report, err := demoReport()
	require.NoError(t, err)
	truth := demoTruth(t)
	require.Len(t, report.Rounds, len(truth.Rounds))
	var misses []float64
	for i, want := range truth.Rounds {
		got := report.Rounds[i]
		require.NotNil(t, got.Phrase, "round %d", i+1)
		assert.Equal(t, want.Phrase, *got.Phrase)
		assert.Equal(t, want.Metre, got.Meter)
		assert.Equal(t, want.Attempt, got.Attempt)
		assert.InEpsilon(t, want.Call.Tempo, got.Call.Tempo, 0.02)
		assert.InDelta(t, want.Call.Start, got.Call.Start, 0.05)
		require.NotNil(t, got.Response)
		assert.InEpsilon(t, want.Response.Tempo, got.Response.Tempo, 0.02,
			"tempo of the answer to %s", want.Phrase)
		assert.InDelta(t, want.Response.Notes[0].Time, got.Response.Start, 0.06)
		require.Len(t, got.Notes, len(want.Response.Notes))
		for k, n := range got.Notes {
			misses = append(misses, math.Abs(n.Participation-want.Response.Notes[k].Participation))
		}
	}
	assert.LessOrEqual(t, mean(misses), 0.15, "participation")
	require.NotNil(t, report.Group.Tier)
	highest := newScale(bank.Starter(), Options{}).highest
	raised := scaleShift(report, &truth)
	truth.Level += raised
	for i := range truth.Levels {
		truth.Levels[i] += raised
	}
	assert.Equal(t, truth.ComfortTier(ability.DefaultComfort, highest), *report.Group.Tier)
	assert.InDelta(t, truth.Level, *report.Group.Ability, 2**report.Group.AbilitySD)
	assert.Len(t, report.Group.TierProbabilities, highest)
	assert.NotEmpty(t, report.Openers)
	assert.Equal(t, "wav", report.Recording.Format)
	assert.InDelta(t, truth.Duration, report.Recording.Duration, 0.01)
}

// scaleShift is how far today's difficulties lie above those with which the demo was made: what its
// people can do stands on the scale of the model of that day. Plain beats are 1 on both and say
// nothing.
func scaleShift(report *Report, truth *synth.Truth) float64 {
	var shifts []float64
	for i, r := range truth.Rounds {
		if r.Difficulty > 1.5 {
			shifts = append(shifts, report.Rounds[i].Difficulty-r.Difficulty)
		}
	}
	return mean(shifts)
}

func TestSameRecordingSameReport(t *testing.T) {
	first, err := demoReport()
	require.NoError(t, err)
	second, err := Recording(t.Context(), bytes.NewReader(demoWAV()), bank.Starter(),
		Options{Repertoire: bank.StarterRepertoire(), Tool: "test"})
	require.NoError(t, err)
	assert.Equal(t, encoded(t, first), encoded(t, second))
}

func encoded(t testing.TB, r *Report) string {
	data, err := json.MarshalIndent(r, "", " ")
	require.NoError(t, err)
	return string(data)
}

func TestAnEndedContextEndsTheWork(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Recording(ctx, bytes.NewReader(demoWAV()), bank.Starter(), Options{})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = Taps(ctx, strings.NewReader(twoRounds), nil, Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestWhatIsNoRecordingIsAnAudioError(t *testing.T) {
	for _, input := range []string{"", "round,role,time_s\n1,call,0.5\n", "RIFF\x04\x00\x00\x00WAVE"} {
		report, err := Recording(t.Context(), strings.NewReader(input), bank.Starter(), Options{})
		var bad *audio.Error
		assert.ErrorAs(t, err, &bad, "%q", input)
		assert.Nil(t, report)
	}
}

func TestWithoutAnswersNothingIsSaidOfTheGroup(t *testing.T) {
	phrases, items := suiteBank()
	for _, test := range []struct{ preset, warning string }{
		{"talk-only", "no-rounds"},
		{"no-response", "no-answers"},
	} {
		t.Run(test.preset, func(t *testing.T) {
			preset, ok := warmups.PresetNamed(test.preset)
			require.True(t, ok)
			scene := preset.Scene(1, items)
			scene.Rate = audio.Rate
			recording, err := synth.Generate(scene)
			require.NoError(t, err)
			var file bytes.Buffer
			require.NoError(t, signal.WriteWAV(&file, recording.Samples, recording.Rate))
			report, err := Recording(t.Context(), &file, phrases,
				Options{Repertoire: bank.StarterRepertoire()})
			require.NoError(t, err)
			for _, r := range report.Rounds {
				assert.Nil(t, r.Response, "an answer to %s", name(r))
				assert.False(t, r.Usable)
			}
			assert.Nil(t, report.Group.Tier)
			assert.Nil(t, report.Group.Ability)
			assert.Empty(t, report.Openers)
			assert.Contains(t, codes(report), test.warning)
			assert.NoError(t, validate(t, report))
		})
	}
}

func codes(r *Report) []string {
	var out []string
	for _, w := range r.Warnings {
		out = append(out, w.Code)
	}
	return out
}

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

func TestWithoutABankCallsAreTranscribed(t *testing.T) {
	report, err := Recording(t.Context(), bytes.NewReader(demoWAV()), nil, Options{})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(report.Rounds), 5, "of nine; nothing but the answers says what is a call")
	called := map[string]bool{}
	for _, p := range synth.DemoPhrases() {
		called[p.Rhythm] = true
	}
	right := 0
	for _, r := range report.Rounds {
		assert.Nil(t, r.Phrase)
		assert.Equal(t, "4/4", r.Meter)
		if called[r.Notation] {
			right++
		}
	}
	assert.GreaterOrEqual(t, right, len(report.Rounds)-1)
	assert.NoError(t, validate(t, report))
}

// A part is heard as if the recording were cut there, at the times of the whole.
func TestAPartIsHeardAsIfCutOut(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	w := plain()
	rounds := w.truth.Rounds
	from := math.Floor(rounds[1].Call.Start - 0.2)
	to := math.Ceil(rounds[3].Response.End + 0.5)
	listen := func(sound []float32, o Options) *Report {
		r, err := Recording(context.Background(), bytes.NewReader(wav(low, sound)), bank.Starter(), o)
		require.NoError(t, err)
		return r
	}
	part := listen(w.sound, Options{From: from, To: to})
	cut := listen(w.sound[int(from)*low:min(len(w.sound), int(to)*low)], Options{})
	require.NotEmpty(t, part.Rounds)
	require.Len(t, part.Rounds, len(cut.Rounds))
	for i, r := range part.Rounds {
		c := cut.Rounds[i]
		assert.Equal(t, c.Phrase, r.Phrase)
		assert.Equal(t, c.Share, r.Share)
		assert.InDelta(t, c.Call.Start+from, r.Call.Start, 2e-4)
		require.Equal(t, c.Response == nil, r.Response == nil)
		if r.Response != nil {
			assert.InDelta(t, c.Response.Start+from, r.Response.Start, 2e-4)
			assert.InDelta(t, c.Notes[0].Expected+from, r.Notes[0].Expected, 2e-4)
		}
	}
	assert.InDelta(t, w.report.Recording.Duration, part.Recording.Duration, 1e-9)
	assert.Equal(t, LeftOut{0, from, NotAsked}, part.Recording.LeftOut[0])
}

func TestThePartMustLieInTheRecording(t *testing.T) {
	sound := wav(low, make([]float32, 2*low))
	for _, o := range []Options{
		{From: -1},
		{From: math.NaN()},
		{To: math.Inf(-1)},
		{From: 5, To: 3},
		{From: 1, To: 1},
		{From: 60},
		{From: math.Inf(1)},
	} {
		_, err := Recording(context.Background(), bytes.NewReader(sound), nil, o)
		_, ok := errors.AsType[*PartError](err)
		assert.True(t, ok, "%v: %v", o, err)
	}
	_, err := Recording(context.Background(), bytes.NewReader(sound), nil, Options{From: 1, To: math.Inf(1)})
	assert.NoError(t, err)
}

// demoThrough is the demo recorded by a phone that does something to every sample.
func demoThrough(t *testing.T, phone func(x float64) float64) []byte {
	t.Helper()
	stream, err := audio.Open(context.Background(), bytes.NewReader(demoWAV()), audio.Options{})
	require.NoError(t, err)
	defer stream.Close()
	samples := make([]float32, 0, 120*audio.Rate)
	for buffer := make([]float32, 4096); err == nil; {
		var n int
		n, err = stream.Read(buffer)
		for _, x := range buffer[:n] {
			samples = append(samples, float32(phone(float64(x))))
		}
	}
	var out bytes.Buffer
	require.NoError(t, signal.WriteWAV(&out, samples, audio.Rate))
	return out.Bytes()
}

func TestWhatIsTooLoudForThePhoneGetsNoTierAndNoBlame(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	for name, test := range map[string]struct {
		phone func(x float64) float64
		code  string
	}{
		"clipped":    {func(x float64) float64 { return max(-0.98, min(0.98, 30*x)) }, "clipped"},
		"overdriven": {func(x float64) float64 { return 0.8 * math.Tanh(30*x) }, "overdriven"},
	} {
		t.Run(name, func(t *testing.T) {
			file := bytes.NewReader(demoThrough(t, test.phone))
			o := Options{Repertoire: bank.StarterRepertoire()}
			r, err := Recording(t.Context(), file, bank.Starter(), o)
			require.NoError(t, err)
			require.NotNil(t, r.Recording.Flattened)
			assert.Equal(t, test.code, r.Recording.Flattened.Kind)
			assert.True(t, r.Recording.Flattened.Severe)
			assert.Equal(t, []string{test.code}, codes(r), "one cause, one warning")
			assert.Nil(t, r.Group.Tier)
			assert.Empty(t, r.Openers)
			for _, round := range r.Rounds {
				assert.Nil(t, round.Share)
				assert.False(t, round.Usable)
			}
			require.NoError(t, validate(t, r))
		})
	}
}

func TestTheDemoIsNotFlattened(t *testing.T) {
	r, err := demoReport()
	require.NoError(t, err)
	assert.Nil(t, r.Recording.Flattened)
}

func TestSharesAreLessCertainWhereSomeDifferencesAreLost(t *testing.T) {
	r := &Report{Rounds: []Round{{ShareSD: new(0.2)}, {}}}
	r.widen()
	assert.InDelta(t, 0.2*flattenedFactor, *r.Rounds[0].ShareSD, 1e-9)
	assert.Nil(t, r.Rounds[1].ShareSD)
}
