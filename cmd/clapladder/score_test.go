package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/demo"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/patterns/bank"
)

// The files that demo writes.
const (
	demoRecording  = "warm-up.wav"
	demoBank       = "bank.toml"
	demoRepertoire = "repertoire.toml"
)

// demoFolder holds the files that demo writes, made once.
var demoFolder = sync.OnceValue(func() string {
	folder, err := os.MkdirTemp("", "clapladder-test-")
	if err != nil {
		panic(err)
	}
	var out, errs bytes.Buffer
	noEnv := func(string) string { return "" }
	status := run(context.Background(), []string{"demo", folder}, strings.NewReader(""), &out, &errs, noEnv)
	if status != fault.ExitDone {
		panic(errs.String())
	}
	return folder
})

func TestDemoWritesWhatTheNextCommandNeeds(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "new", "demo")
	got := execute(t, "", "demo", folder)
	require.Zero(t, got.status, got.stderr)
	command := got.stdout[strings.Index(got.stdout, "    clapladder score")+len("    clapladder "):]
	report := execute(t, "", append(strings.Fields(command), "--json")...)
	require.Zero(t, report.status, report.stderr)
	var r assess.Report
	require.NoError(t, json.Unmarshal([]byte(report.stdout), &r))
	assert.Equal(t, assess.Schema, r.Schema)
	assert.Equal(t, "clapladder test", r.Tool)
	recording, err := demo.WarmUp()
	require.NoError(t, err)
	assert.Len(t, r.Rounds, recording.Calls)
	require.NotNil(t, r.Group.Tier)

	for _, name := range []string{demoBank, demoRepertoire} {
		got := execute(t, "", "check", filepath.Join(folder, name))
		assert.Zero(t, got.status, got.stdout)
	}
}

func TestDemoOverwritesNothingUnlessTold(t *testing.T) {
	folder := t.TempDir()
	mine := filepath.Join(folder, demoBank)
	require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o600))
	got := execute(t, "", "demo", folder)
	assert.Equal(t, fault.ExitFailed, got.status)
	assert.Equal(t, "clapladder: "+mine+" is there already; choose another folder, or add "+
		"--force to replace it\n", got.stderr)
	data, err := os.ReadFile(mine)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(data))
	alone, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, alone, 1, "all or nothing")

	got = execute(t, "", "demo", folder, "--force")
	require.Zero(t, got.status, got.stderr)
	data, err = os.ReadFile(mine)
	require.NoError(t, err)
	assert.Equal(t, demo.BankText(), string(data))
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, left, 3, "no temporary file is left")
}

func TestScoreAnswersInItsFirstThreeLines(t *testing.T) {
	folder := demoFolder()
	args := []string{
		"score", filepath.Join(folder, demoRecording), "-b",
		filepath.Join(folder, demoBank), "-r", filepath.Join(folder, demoRepertoire),
	}
	got := execute(t, "", args...)
	require.Zero(t, got.status, got.stderr)
	assert.Empty(t, got.stderr)
	lines := strings.Split(got.stdout, "\n")
	assert.Regexp(t, `^Tier \d +of \d: .*\d+ %`, lines[0])
	assert.Regexp(t, `^Open with +\S.*\(tier \d\), .* likely to work$`, lines[1])
	assert.Regexp(t, `^Fall back to +\S.*\(tier \d\), .* likely to work$`, lines[2])
	for _, line := range lines {
		assert.LessOrEqual(t, len([]rune(line)), 80, line)
	}
	again := execute(t, "", args...)
	assert.Equal(t, got.stdout, again.stdout, "the same recording gives the same bytes")
}

// demoReport is the demo's report as JSON, made once.
var demoReport = sync.OnceValue(func() outcome {
	folder := demoFolder()
	var out, errs bytes.Buffer
	args := []string{
		"score", filepath.Join(folder, demoRecording), "--bank",
		filepath.Join(folder, demoBank), "--json",
	}
	status := run(context.Background(), args, strings.NewReader(""), &out, &errs,
		func(string) string { return "" })
	return outcome{out.String(), errs.String(), status}
})

func TestReportsAsPrintedFitTheSchema(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "assess", "report.schema.json"))
	require.NoError(t, err)
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	require.NoError(t, compiler.AddResource("report", document))
	schema, err := compiler.Compile("report")
	require.NoError(t, err)
	for law, args := range map[string][]string{
		"recording": {"score", filepath.Join("..", "..", "testdata", "boatyard-lunch.wav"), "--json"},
		"taps":      {"score", "--taps", write(t, "taps.csv", fourPlainBeats), "--json"},
		"by ear":    {"tally", "row=got", "gangway=partly", "clave=lost", "--json"},
	} {
		got := execute(t, "", args...)
		require.Zero(t, got.status, got.stderr)
		report, err := jsonschema.UnmarshalJSON(strings.NewReader(got.stdout))
		require.NoError(t, err)
		assert.NoError(t, schema.Validate(report), law)
		_, outlined := report.(map[string]any)["recording"].(map[string]any)["envelope"]
		assert.Equal(t, law == "recording", outlined, law)
	}
}

func TestScoreReadsStandardInput(t *testing.T) {
	folder := demoFolder()
	data, err := os.ReadFile(filepath.Join(folder, demoRecording))
	require.NoError(t, err)
	piped := execute(t, string(data), "score", "-", "--bank", filepath.Join(folder, demoBank), "--json")
	require.Zero(t, piped.status, piped.stderr)
	assert.Equal(t, demoReport().stdout, piped.stdout)
}

func TestOnlyASCIIWhereTheLocaleHasNothingElse(t *testing.T) {
	folder := demoFolder()
	got := executeIn(t, map[string]string{"LC_ALL": "POSIX", "LANG": "en_GB.UTF-8"}, "", "score",
		filepath.Join(folder, demoRecording), "--bank", filepath.Join(folder, demoBank))
	require.Zero(t, got.status, got.stderr)
	for _, r := range got.stdout {
		require.Less(t, r, rune(128), "%q", r)
	}
}

func TestSilenceIsAnAnswerAndNotAnError(t *testing.T) {
	const size = 5 * 2 * 16000 // 5 s of 16 bits at 16 kHz
	u32 := func(n uint32) string { return string(binary.LittleEndian.AppendUint32(nil, n)) }
	wav := "RIFF" + u32(36+size) + "WAVEfmt " + u32(16) + "\x01\x00\x01\x00" + u32(16000) + u32(2*16000) +
		"\x02\x00\x10\x00data" + u32(size) + strings.Repeat("\x00", size)
	got := execute(t, wav, "score", "-")
	assert.Zero(t, got.status, got.stderr)
	assert.True(t, strings.HasPrefix(got.stdout, "No tier yet   no call and response heard"), got.stdout)
}

func TestWithoutABankCallsAreWrittenDownAndTiersAreThoseOfThePieces(t *testing.T) {
	got := execute(t, "", "score", "--no-bank", "--json", filepath.Join(demoFolder(), demoRecording))
	require.Zero(t, got.status, got.stderr)
	var r assess.Report
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &r))
	require.NotEmpty(t, r.Rounds)
	for _, round := range r.Rounds {
		assert.Nil(t, round.Phrase)
		assert.NotEmpty(t, round.Notation)
	}
	require.NotNil(t, r.Group.Tier)
	assert.Equal(t, fault.ExitUsage, execute(t, "", "score", "--no-bank", "--bank", "x.toml", "y.wav").status)
}

func TestPickListsEveryPieceWithItsChance(t *testing.T) {
	got := execute(t, "", "pick", "--level", "4", "--all")
	require.Zero(t, got.status, got.stderr)
	for _, p := range bank.StarterRepertoire().Pieces {
		assert.Contains(t, got.stdout, p.Name)
	}
	hopeless := execute(t, "", "pick", "--level=-5")
	require.Zero(t, hopeless.status, hopeless.stderr)
	assert.Contains(t, hopeless.stdout, "Stay on the pulse")
	assert.Equal(t, fault.ExitUsage, execute(t, "", "pick", "--level", "4", "--sure", "0.2").status)
}
