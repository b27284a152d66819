package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/internal/history"
)

// byEar is a warm-up judged by ear, as tally takes it.
var byEar = []string{"row=got", "bell=got", "gangway=partly", "fog=lost", "row=got"}

func tallied(t *testing.T, log string, args ...string) outcome {
	t.Helper()
	return execute(t, "", append(append([]string{"tally", "--history", log}, args...), byEar...)...)
}

func recordsIn(t *testing.T, log string) []history.Record {
	t.Helper()
	c, err := history.Open(log).Read(t.Context())
	require.NoError(t, err)
	return c.Records
}

func TestTheSameWarmUpIsSavedOnceUnlessAskedFor(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-04").status)
	again := tallied(t, log, "--save", "Quay ", "--date", "2025-03-04")
	assert.Equal(t, fault.ExitUsage, again.status)
	assert.Equal(t, "clapladder: this warm-up is in the history already, as \"quay\" on 4 March "+
		"2025; to save it once more add --anyway\n", again.stderr)
	assert.Contains(t, again.stdout, "Tier ", "the report is shown all the same")
	assert.Len(t, recordsIn(t, log), 1)
	assert.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-04", "--anyway").status)
	assert.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-11").status,
		"another day is another warm-up")
	assert.Len(t, recordsIn(t, log), 3)
}

func TestARecordingIsKnownAgain(t *testing.T) {
	folder := t.TempDir()
	log, first := filepath.Join(folder, "log.jsonl"), filepath.Join(folder, "a.wav")
	wav := clappedAlone(t, "x x xx x")
	require.NoError(t, os.WriteFile(first, wav, 0o644))
	at := time.Date(2025, 3, 4, 13, 0, 0, 0, time.Local)
	require.NoError(t, os.Chtimes(first, at, at))
	got := execute(t, "", "score", first, "--save", "quay", "--history", log)
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stderr, `saved as "quay", 4 March 2025, 13:00 (when the recording was last changed; --date says otherwise)`)
	records := recordsIn(t, log)
	require.Len(t, records, 1)
	assert.True(t, at.Equal(records[0].Date))

	second := filepath.Join(folder, "copied.wav")
	require.NoError(t, os.WriteFile(second, wav, 0o644))
	got = execute(t, "", "score", second, "--save", "pier", "--history", log)
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, `as "quay" on 4 March 2025`)
	got = execute(t, string(wav), "score", "-", "--save", "pier", "--history", log)
	assert.Equal(t, fault.ExitUsage, got.status, "nor does it help to pour it in")
	assert.Len(t, recordsIn(t, log), 1)
}

func TestSavingIsRefusedWhereSomethingIsAmiss(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	ahead := time.Now().AddDate(0, 0, 3).Format(time.DateOnly)
	for _, test := range []struct {
		args []string
		want string
	}{
		{[]string{"--save", ""}, "--save needs the label of a group, such as 'lunch hour'"},
		{[]string{"--save", " \t"}, "--save needs the label of a group"},
		{[]string{"--known", ""}, "--known needs the label of a group"},
		{
			[]string{"--save", "quay", "--date", ahead},
			"has not come yet; write another --date, or add --anyway",
		},
		{[]string{"--save", "quay", "--date", "yesterday"}, `--date is "yesterday"; write it like 2025-03-04`},
	} {
		got := tallied(t, log, test.args...)
		assert.Equal(t, fault.ExitUsage, got.status, test.args)
		assert.Contains(t, got.stderr, test.want)
		assert.Empty(t, got.stdout)
	}
	assert.NoFileExists(t, log)
	assert.Zero(t, tallied(t, log, "--save", "quay", "--date", ahead, "--anyway").status)
}

func TestHistoryTakesBackAndBringsBack(t *testing.T) {
	log := savedTerm(t)
	do := func(args ...string) outcome {
		return execute(t, "", append(append([]string{"history"}, args...), "--history", log)...)
	}
	assert.Contains(t, fault.OneLine(do("remove", "lunch hour", "2025-03-04").stdout),
		"Removed the warm-up of lunch hour on 4 March 2025, 12:00. clapladder history undo brings it back.")
	assert.NotContains(t, do("show", "lunch hour").stdout, "2025-03-04")
	assert.Contains(t, do("undo").stdout, "Brought back 1 warm-up of lunch hour.")
	assert.Contains(t, do("show", "lunch hour").stdout, "2025-03-04")
	assert.Contains(t, do("undo").stdout, "Took back the warm-up of night shift on 5 March 2025, 21:30.")
	assert.Equal(t, fault.ExitUsage, do("show", "night shift").status)
	assert.Contains(t, do("redo").stdout, "Brought back the warm-up of night shift")
	assert.Zero(t, do("show", "night shift").status)
	assert.Contains(t, do("redo").stdout, "Removed again 1 warm-up of lunch hour.")
	for range 3 {
		do("undo")
	}
	do("undo")
	assert.Contains(t, do("undo").stdout, "Nothing is left to take back.")

	got := do("remove", "lunch hour", "2025-03-05")
	assert.Equal(t, fault.ExitUsage, got.status)
}

func TestADayWithSeveralWarmUpsNeedsTheTime(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-04T10:00").status)
	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-04T14:00", "--anyway").status)
	remove := func(date string) outcome {
		return execute(t, "", "history", "remove", "quay", date, "--history", log)
	}
	got := remove("2025-03-04")
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, "quay has 2 warm-ups that day; add the time, such as 2025-03-04T10:00\n")
	require.Len(t, recordsIn(t, log), 2)

	require.Zero(t, remove("2025-03-04T10:00").status)
	got = remove("2025-03-05")
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, "quay has no warm-up on 5 March 2025; it has 2025-03-04T14:00\n")
}

func TestAnUnknownGroupIsAnsweredWithTheGroupsThereAre(t *testing.T) {
	log := savedTerm(t)
	for _, args := range [][]string{
		{"show", "x"},
		{"trend", "x"},
		{"export", "x"},
		{"forget", "x"},
		{"note", "x", "y"},
		{"outcome", "x", "got"},
		{"remove", "x", "2025-03-04"},
	} {
		got := execute(t, "", append(append([]string{"history"}, args...), "--history", log)...)
		assert.Equal(t, fault.ExitUsage, got.status, args)
		assert.Contains(t, got.stderr, `the history has no group "x"; groups are: lunch hour, night shift`, args)
	}
}

func TestNotesStandBesideTheWarmUps(t *testing.T) {
	log := savedTerm(t)
	got := execute(t, "", "history", "note", "Lunch Hour", "two new people,", "half circle",
		"--date", "2025-02-01", "--history", log)
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, execute(t, "", "history", "show", "lunch hour", "--history", log).stdout,
		"\n2025-02-01 two new people, half circle\n")
	assert.NotContains(t, execute(t, "", "history", "show", "night shift", "--history", log).stdout,
		"two new people")
}

// After six openers that fell apart the same warm-up gives lower chances, says so, and the log says
// how often they came true.
func TestOutcomesMoveTheChancesOfOpeners(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-04").status)
	chance := func() (float64, assess.Report) {
		var r assess.Report
		require.NoError(t, json.Unmarshal([]byte(tallied(t, log, "--known", "quay", "--date",
			"2025-03-04", "--json").stdout), &r))
		for _, o := range r.Openers {
			if o.Role == plan.Main {
				return o.Chance, r
			}
		}
		t.Fatal("no main opener")
		return 0, r
	}
	before, report := chance()
	assert.NotContains(t, codes(report), "chances-adjusted")
	var last outcome
	for range 6 {
		last = execute(t, "", "history", "outcome", "quay", "lost", "--history", log)
		require.Zero(t, last.status, last.stderr)
	}
	assert.Regexp(t, `CHANCE +SAID +CAME TRUE`, last.stdout)
	assert.Contains(t, last.stdout, "0 of 6")
	assert.Contains(t, fault.OneLine(last.stdout),
		"Chances of openers are adjusted by this: what would have been 70 % is now")
	after, report := chance()
	assert.Less(t, after, before-0.02)
	assert.Contains(t, codes(report), "chances-adjusted")
	assert.Contains(t, codes(report), "known-group")
	assert.Contains(t, execute(t, "", "history", "show", "--history", log).stdout,
		"How often the chances came true")

	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-18").status)
	records := recordsIn(t, log)
	saved := records[len(records)-1].Openers
	require.NotEmpty(t, saved)
	require.NotNil(t, saved[0].Raw, "what was adjusted is kept beside what it was")
	assert.Greater(t, *saved[0].Raw, *saved[0].Chance)

	for range 6 {
		execute(t, "", "history", "undo", "--history", log) // the save and five outcomes
	}
	undone, _ := chance()
	assert.InDelta(t, before, undone, 1e-9)
}

func codes(r assess.Report) []string {
	var out []string
	for _, w := range r.Warnings {
		out = append(out, w.Code)
	}
	return out
}

func TestAnOutcomeNamesAPieceThatThereIs(t *testing.T) {
	log := savedTerm(t)
	got := execute(t, "", "history", "outcome", "lunch hour", "partly", "mooring", "--history", log)
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stdout, "mooring came together partly with lunch hour")
	got = execute(t, "", "history", "outcome", "lunch hour", "got", "moorign", "--history", log)
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, `there is no piece "moorign"; did you mean "mooring"?`)
	assert.Equal(t, fault.ExitUsage, execute(t, "", "history", "outcome", "lunch hour", "fine",
		"--history", log).status)
}

func TestATrendOverTwoBanksSaysSo(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-04").status)
	other := write(t, "mine.toml",
		string(starterText(t))+"\n[[phrase]]\nid = \"new\"\nmeter = \"4/4\"\nrhythm = \"x x x .\"\n")
	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-11", "--bank", other).status)
	got := execute(t, "", "history", "trend", "quay", "--history", log)
	assert.Contains(t, fault.OneLine(got.stdout),
		"These warm-ups were called from different banks (starter, ")
	one := execute(t, "", "history", "trend", "quay", "--history", savedAlone(t))
	assert.NotContains(t, one.stdout, "different banks")
}

func savedAlone(t *testing.T) string {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-04").status)
	require.Zero(t, tallied(t, log, "--save", "quay", "--date", "2025-03-11").status)
	return log
}

func starterText(t *testing.T) []byte {
	t.Helper()
	return []byte(execute(t, "", "export", "--toml", "-").stdout)
}

func TestBeforeASessionPickAndCardGoByWhatIsKnown(t *testing.T) {
	log := savedAlone(t)
	picked := execute(t, "", "pick", "--known", "quay", "--history", log)
	require.Zero(t, picked.status, picked.stderr)
	assert.Contains(t, picked.stderr, `going by what is known of "quay": level `)
	_, left, found := strings.Cut(picked.stderr, "leaving out what was suggested last time: ")
	require.True(t, found, picked.stderr)
	var openers struct {
		Openers []assess.Opener `json:"openers"`
	}
	require.NoError(t, json.Unmarshal([]byte(execute(t, "", "pick", "--known", "quay", "--history",
		log, "--json").stdout), &openers))
	require.NotEmpty(t, openers.Openers)
	for _, o := range openers.Openers {
		assert.NotEqual(t, strings.TrimSpace(left), o.Piece)
	}
	require.Zero(t, execute(t, "", "history", "outcome", "quay", "got", "mooring", "--history", log).status)
	assert.Contains(t, execute(t, "", "pick", "--known", "quay", "--history", log).stderr,
		"leaving out what was played last time: mooring\n")

	card := execute(t, "", "card", "--known", "quay", "--history", log)
	require.Zero(t, card.status, card.stderr)
	assert.Contains(t, card.stderr, "leaving out what was called last time: ")
	assert.NotContains(t, card.stdout, "Fog")
	assert.NotEqual(t, execute(t, "", "card").stdout, card.stdout)
	assert.Equal(t, fault.ExitUsage, execute(t, "", "card", "--known", "nobody", "--history", log).status)
	assert.Equal(t, fault.ExitUsage, execute(t, "", "pick", "--history", log, "--tier", "3").status)
}
