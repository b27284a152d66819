package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/fault"
)

// fourPlainBeats is a call and its answer a beat apart, as a person would annotate them.
const fourPlainBeats = "round,role,time_s\n1,call,0\n1,call,0.6\n1,call,1.2\n1,call,1.8\n" +
	"1,response,2.4\n1,response,3.0\n1,response,3.61\n1,response,4.2\n"

func TestTapsAreScoredLikeARecording(t *testing.T) {
	got := execute(t, "", "score", "--taps", write(t, "pads.csv", fourPlainBeats), "--json")
	require.Zero(t, got.status, got.stderr)
	var r assess.Report
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &r))
	assert.Equal(t, "taps", r.Recording.Format)
	require.Len(t, r.Rounds, 1)
	require.NotNil(t, r.Rounds[0].Phrase)
	assert.Equal(t, "row", *r.Rounds[0].Phrase)
	assert.InDelta(t, 100, r.Rounds[0].Call.Tempo, 0.5)
	assert.Nil(t, r.Group.Tier, "one round states no tier")

	piped := execute(t, fourPlainBeats, "score", "--taps", "-", "--json")
	assert.Equal(t, got.stdout, piped.stdout)
}

func TestFewRoundsSayWhatToDoInsteadOfATier(t *testing.T) {
	got := execute(t, fourPlainBeats, "score", "--taps", "-")
	lines := strings.Split(got.stdout, "\n")
	assert.Equal(t, "No tier yet   1 round could be used; it takes at least 4", lines[0])
	assert.True(t, strings.HasPrefix(lines[1], "Do now        "), lines[1])
	assert.True(t, strings.HasPrefix(lines[2], "Until then    "), lines[2])
}

func TestMarksAndTapsThatCannotBeReadNameTheFile(t *testing.T) {
	bad := write(t, "marks.txt", "1 2 gangway\n")
	got := execute(t, "", "score", filepath.Join(demoFolder(), demoRecording), "--marks", bad)
	assert.Equal(t, fault.ExitInput, got.status)
	assert.True(t, strings.HasPrefix(got.stderr, "clapladder: "+bad+": line 1: "), got.stderr)

	got = execute(t, "", "score", "--taps", bad)
	assert.Equal(t, fault.ExitInput, got.status)
	assert.True(t, strings.HasPrefix(got.stderr, "clapladder: "+bad+": line 1: "), got.stderr)
	assert.Equal(t, 1, strings.Count(got.stderr, "\n"))
}

func TestMarksHelpToFindACall(t *testing.T) {
	folder := demoFolder()
	args := []string{
		"score", filepath.Join(folder, demoRecording), "--bank",
		filepath.Join(folder, demoBank), "--json",
	}
	plain := demoReport()
	require.Zero(t, plain.status, plain.stderr)
	var r assess.Report
	require.NoError(t, json.Unmarshal([]byte(plain.stdout), &r))
	mark := strings.Join([]string{
		number(r.Rounds[2].Call.Start), number(r.Rounds[2].Call.End), *r.Rounds[2].Phrase,
	}, "\t")
	marked := execute(t, "", append(args, "--marks", write(t, "marks.txt", mark+"\n"))...)
	require.Zero(t, marked.status, marked.stderr)
	var m assess.Report
	require.NoError(t, json.Unmarshal([]byte(marked.stdout), &m))
	found := false
	for _, round := range m.Rounds {
		found = found || round.Phrase != nil && *round.Phrase == *r.Rounds[2].Phrase &&
			round.Confidence >= r.Rounds[2].Confidence
	}
	assert.True(t, found, "the marked call is there, at least as sure as without")
}

func number(x float64) string { return strconv.FormatFloat(x, 'f', 3, 64) }

func TestLatestTakesTheNewestRecordingAndSaysWhich(t *testing.T) {
	folder := t.TempDir()
	sound := clappedAlone(t, "x x x x")
	day := time.Date(2025, 3, 4, 12, 0, 0, 0, time.UTC)
	for name, file := range map[string]struct {
		data []byte
		at   time.Time
	}{
		"old.wav":       {[]byte("not even sound"), day},
		"lunch.WAV":     {sound, day.Add(time.Hour)},
		"notes.txt":     {[]byte("newer, but no recording"), day.Add(2 * time.Hour)},
		".lunch.wav.~1": {[]byte("half"), day.Add(3 * time.Hour)},
		".half.wav":     {[]byte("half"), day.Add(3 * time.Hour)},
		"empty.wav":     {nil, day.Add(4 * time.Hour)},
	} {
		path := filepath.Join(folder, name)
		require.NoError(t, os.WriteFile(path, file.data, 0o644))
		require.NoError(t, os.Chtimes(path, file.at, file.at))
	}
	require.NoError(t, os.Mkdir(filepath.Join(folder, "folder.wav"), 0o755))
	got := execute(t, "", "score", "--latest", folder)
	require.Zero(t, got.status, got.stderr)
	assert.Equal(t, "clapladder: listening to "+filepath.Join(folder,
		"lunch.WAV")+", of 4 March 2025, 13:00; has the phone synced?\n", got.stderr)
	quiet := execute(t, "", "score", "--latest", folder, "--quiet")
	assert.Empty(t, quiet.stderr)
	assert.Equal(t, got.stdout, quiet.stdout)
}

func TestLatestWithoutARecordingSaysSo(t *testing.T) {
	folder := t.TempDir()
	got := execute(t, "", "score", "--latest", folder)
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Equal(t, "clapladder: "+folder+": there is no recording in this folder; check that "+
		"the phone has synced, or name the file\n", got.stderr)
	got = execute(t, "", "score", "--latest", filepath.Join(folder, "none"))
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Contains(t, got.stderr, "there is no such file")
	got = execute(t, "", "score", "--latest", write(t, "a.wav", ""))
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Contains(t, got.stderr, "this is a file; name the folder it is in")
}

func TestPickChoosesForATierALevelOrAReport(t *testing.T) {
	for _, args := range [][]string{{"--tier", "3"}, {"--level", "4.5"}} {
		got := execute(t, "", append([]string{"pick"}, args...)...)
		require.Zero(t, got.status, got.stderr)
		assert.Regexp(t, `^Open with     \S.* \(tier \d\) +(over )?\d+ %\n`, got.stdout)
	}
	folder := demoFolder()
	bank := filepath.Join(folder, demoBank)
	scored := demoReport()
	require.Zero(t, scored.status, scored.stderr)
	picked := execute(t, scored.stdout, "pick", "-", "--bank", bank, "--json")
	require.Zero(t, picked.status, picked.stderr)
	var r assess.Report
	var p struct{ Openers []assess.Opener }
	require.NoError(t, json.Unmarshal([]byte(scored.stdout), &r))
	require.NoError(t, json.Unmarshal([]byte(picked.stdout), &p))
	main := func(list []assess.Opener) string {
		for _, o := range list {
			if o.Role == plan.Main {
				return o.Piece
			}
		}
		return ""
	}
	assert.NotEmpty(t, main(r.Openers))
	assert.Equal(t, main(r.Openers), main(p.Openers), "a saved report leads to the same choice")
}

func TestPickKeepsToTagsAndToWhatWasNotPlayed(t *testing.T) {
	first := execute(t, "", "pick", "--tier", "3", "--json")
	var p struct{ Openers []assess.Opener }
	require.NoError(t, json.Unmarshal([]byte(first.stdout), &p))
	played := p.Openers[0].Piece
	again := execute(t, "", "pick", "--tier", "3", "--json", "--played", played)
	require.Zero(t, again.status, again.stderr)
	assert.NotContains(t, again.stdout, `"piece": "`+played+`"`)

	got := execute(t, "", "pick", "--tier", "3", "--with", "cannon")
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, `no piece has the tag "cannon"; the tags in use are `)
}

func TestPickNeedsOneThingToGoBy(t *testing.T) {
	for _, test := range []struct {
		args []string
		want string
	}{
		{nil, "say what you know of the group: --tier, --level, --known or a report"},
		{[]string{"--tier", "3", "--level", "3"}, "give one of --tier, --level, --known and a report"},
		{[]string{"--tier", "21"}, "--tier is 21; write a number from 1 to 20"},
		{[]string{"--level", "99"}, "--level is 99; write a number from -5 to 25"},
	} {
		got := execute(t, "", append([]string{"pick"}, test.args...)...)
		assert.Equal(t, fault.ExitUsage, got.status)
		assert.Equal(t, "clapladder: "+test.want+"\nTry: clapladder pick --help\n", got.stderr)
	}
	for _, test := range []struct{ name, text, want string }{
		{"no JSON", "dear all", "this is not a report; write one with: clapladder score " +
			"RECORDING --json > report.json"},
		{"other JSON", "{}", `this is not a report of this version ("" instead of "clapladder/report/1"); score the recording again`},
		{"too few rounds", `{"schema":"clapladder/report/1","group":{}}`, "the report states no level, because too few rounds could be used; give --tier instead"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := execute(t, test.text, "pick", "-")
			assert.Equal(t, fault.ExitInput, got.status)
			assert.Equal(t, "clapladder: standard input: "+test.want+"\n", got.stderr)
		})
	}
}
