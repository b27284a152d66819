package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/cmd/clapladder/internal/fault"
)

// savedTerm is a log of warm-ups of two groups, judged by ear.
func savedTerm(t *testing.T) (log string) {
	t.Helper()
	return write(t, "log.jsonl", term())
}

// term is the text of that log, made once.
var term = sync.OnceValue(func() string {
	folder, err := os.MkdirTemp("", "clapladder-test-")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(folder)
	log := filepath.Join(folder, "log.jsonl")
	for _, args := range [][]string{
		{"lunch hour", "2025-01-14", "row=got", "bell=partly", "gangway=lost", "fog=lost", "row=got"},
		{"lunch hour", "2025-03-04", "row=got", "bell=got", "gangway=got", "fog=partly", "row=got"},
		{"night shift", "2025-03-05T21:30", "row=got", "bell=got", "gangway=got", "fog=got", "hurry=got"},
	} {
		var out, errs bytes.Buffer
		words := append([]string{"tally", "--history", log, "--save", args[0], "--date", args[1]},
			args[2:]...)
		status := run(context.Background(), words, strings.NewReader(""), &out, &errs,
			func(string) string { return "" })
		if want := "clapladder: saved as \"" + args[0] + "\", "; status != fault.ExitDone ||
			!strings.HasPrefix(errs.String(), want) {
			panic(errs.String())
		}
	}
	data, err := os.ReadFile(log)
	if err != nil {
		panic(err)
	}
	return string(data)
})

func TestTallyReportsWhatWasHeard(t *testing.T) {
	args := []string{"tally", "row=got", "bell=g", "gangway=partly", "fog=lost", "row=GOT"}
	got := execute(t, "", args...)
	require.Zero(t, got.status, got.stderr)
	assert.Regexp(t, `^Tier \d +of \d+: `, got.stdout)
	assert.Contains(t, got.stdout, "partly got it\n    x x xx x\n")
	asked := execute(t, "row got\nbell=got\n\n# a remark\ngangway, partly\nfog\tlost\nrow g\n", "tally")
	assert.Equal(t, got.stdout, asked.stdout, "one line a call on standard input means the same")
	page := execute(t, "", append(args, "--html", "-")...)
	assert.Contains(t, page.stdout, "heard by ear, 5 rounds")
}

func TestTallyRefusesWhatItCannotRead(t *testing.T) {
	for _, test := range []struct {
		args []string
		want string
	}{
		{[]string{"row"}, `"row" says no verdict; write row=got, row=partly or row=lost`},
		{[]string{"row=fine"}, `"fine" is no verdict; write row=got, row=partly or row=lost`},
		{[]string{"rwo=got"}, `the bank has no phrase "rwo"; did you mean "row"?`},
		{nil, "say what you heard, such as row=got"},
	} {
		got := execute(t, "", append([]string{"tally"}, test.args...)...)
		assert.Equal(t, fault.ExitUsage, got.status)
		assert.Equal(t, "clapladder: "+test.want+"\nTry: clapladder tally --help\n", got.stderr)
	}
	got := execute(t, "row got\nrow maybe\n", "tally")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Equal(t, "clapladder: standard input: line 2: \"maybe\" is no verdict; write row=got, "+
		"row=partly or row=lost\n", got.stderr)
}

func TestHistoryListsGroupsAndWarmUps(t *testing.T) {
	log := savedTerm(t)
	got := execute(t, "", "history", "show", "--history", log)
	require.Zero(t, got.status, got.stderr)
	assert.Equal(t, strings.Join([]string{
		"GROUP        WARM-UPS  FIRST       LAST",
		"lunch hour          2  2025-01-14  2025-03-04",
		"night shift         1  2025-03-05  2025-03-05",
		"",
	}, "\n"), got.stdout)
	got = execute(t, "", "history", "show", "Lunch Hour", "--history", log)
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stdout, "row, bell, gangway, fog, row")
	assert.Contains(t, got.stdout, "2025-03-04 12:00 ")
	got = execute(t, "", "history", "show", "--history", log, "--json")
	var records []struct{ Group string }
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &records))
	assert.Len(t, records, 3)
}

func TestTrendSaysWhetherAGroupMovesUp(t *testing.T) {
	log := savedTerm(t)
	picture := filepath.Join(t.TempDir(), "trend.svg")
	got := execute(t, "", "history", "trend", "lunch hour", "--history", log, "--svg", picture)
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stdout, "2025-01-14 ")
	svg, err := os.ReadFile(picture)
	require.NoError(t, err)
	assert.Contains(t, string(svg), "14 Jan 2025")
	got = execute(t, "", "history", "trend", "lunch hour", "--history", log, "--json")
	var trend struct {
		Points []struct{ Level float64 }
	}
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &trend))
	require.Len(t, trend.Points, 2)
	assert.Greater(t, trend.Points[1].Level, trend.Points[0].Level)
}

func TestTheTrendIsAPageForAClientToo(t *testing.T) {
	log := savedTerm(t)
	for _, test := range []struct {
		law   string
		args  []string
		title string
	}{
		{"titled by its group", nil, "Warm-ups of lunch hour"},
		{"or as one likes", []string{"--title", "Spring at the quay"}, "Spring at the quay"},
	} {
		t.Run(test.law, func(t *testing.T) {
			page := filepath.Join(t.TempDir(), "trend.html")
			args := []string{"history", "trend", "lunch hour", "--history", log, "--html", page}
			got := execute(t, "", append(args, test.args...)...)
			require.Zero(t, got.status, got.stderr)
			assert.Equal(t, "clapladder: wrote "+page+"\n", got.stderr)
			html, err := os.ReadFile(page)
			require.NoError(t, err)
			for _, part := range []string{
				"<title>" + test.title, "14 January 2025 to 4 March 2025, 2 warm-ups",
				"row, bell, gangway, fog, row",
			} {
				assert.Contains(t, string(html), part)
			}
		})
	}
}

func TestExportIsATableWithARowForEachRound(t *testing.T) {
	log := savedTerm(t)
	got := execute(t, "", "history", "export", "lunch hour", "--history", log)
	require.Zero(t, got.status, got.stderr)
	rows, err := csv.NewReader(strings.NewReader(got.stdout)).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 1+5+5)
}

func TestForgetRemovesOneGroupAndKeepsTheOthers(t *testing.T) {
	log := savedTerm(t)
	got := execute(t, "", "history", "forget", "lunch hour", "--history", log)
	require.Zero(t, got.status, got.stderr)
	assert.Equal(t, "Removed 2 warm-ups of lunch hour.\n", got.stdout)
	data, err := os.ReadFile(log)
	require.NoError(t, err)
	assert.NotContains(t, string(data), "lunch")
	assert.Contains(t, string(data), "night shift")
	got = execute(t, "", "history", "forget", "lunch hour", "--history", log)
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, `the history has no group "lunch hour"`)
}

func TestWhatIsKnownOfAGroupMovesTheEstimate(t *testing.T) {
	log := savedTerm(t)
	heard := []string{"row=got", "bell=got", "gangway=partly", "fog=partly", "--json"}
	level := func(more ...string) float64 {
		got := execute(t, "", append(append([]string{"tally"}, heard...), more...)...)
		require.Zero(t, got.status, got.stderr)
		var r assess.Report
		require.NoError(t, json.Unmarshal([]byte(got.stdout), &r))
		return *r.Group.Ability
	}
	unknown := level()
	weak := level("--known", "lunch hour", "--date", "2025-01-15", "--history", log)
	strong := level("--known", "night shift", "--date", "2025-03-06", "--history", log)
	assert.NotEqual(t, unknown, weak)
	assert.Greater(t, strong, weak)
}

func TestALabelThatLooksLikeANameIsPointedOut(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	got := execute(t, "", "tally", "row=got", "--save", "Mrs Marling", "--date", "2025-01-14",
		"--history", log)
	require.Zero(t, got.status, got.stderr)
	assert.Equal(t, 2, strings.Count(got.stderr, "\n"), got.stderr)
}

func TestADamagedLineIsReportedAndTheRestIsShown(t *testing.T) {
	log := savedTerm(t)
	f, err := os.OpenFile(log, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString("{\"schema\":\n")
	require.NoError(t, err)
	require.NoError(t, f.Close())
	got := execute(t, "", "history", "show", "--history", log)
	assert.Zero(t, got.status)
	assert.Contains(t, got.stdout, "night shift")
	assert.Contains(t, got.stderr, "clapladder: "+log+": line 4")
	assert.Equal(t, 1, strings.Count(got.stderr, "\n"))
}

func TestHistoryThatCannotBeUsed(t *testing.T) {
	folder := t.TempDir()
	got := execute(t, "", "history", "show", "--history", folder)
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Equal(t, "clapladder: "+folder+": this is a folder; name a file in it\n", got.stderr)
	got = execute(t, "", "history", "show", "--history", filepath.Join(folder, "new.jsonl"))
	assert.Zero(t, got.status)
	assert.Contains(t, got.stdout, "The history is empty.")
	for _, args := range [][]string{
		{"tally", "row=got", "--date", "2025-01-14"},
		{"tally", "row=got", "--save", "x", "--date", "tuesday"},
		{"history", "trend", "x", "--svg", "-", "--json"},
	} {
		assert.Equal(t, fault.ExitUsage, execute(t, "", args...).status, args)
	}
}

func TestLearnMovesDifficultiesAndWritesOnlyWhenAsked(t *testing.T) {
	bank := write(t, "lunch.toml",
		"# mine\n[[phrase]]\nid = \"plain\"\nmeter = \"4/4\"\nrhythm = \"x x x x\" # easy\n\n"+
			"[[phrase]]\nid = \"knot\"\nmeter = \"4/4\"\nrhythm = \"x .x x x\"\n")
	results := "phrase,share,group\n"
	for _, group := range []string{"a", "b", "c", "d", "e", "f", "g", "h"} {
		results += "plain,0.95," + group + "\nknot,0.1," + group + "\n"
	}
	table := write(t, "term.csv", results)
	before, err := os.ReadFile(bank)
	require.NoError(t, err)
	got := execute(t, "", "learn", bank, "--results", table)
	require.Zero(t, got.status, got.stderr)
	assert.Regexp(t, `knot +\d\.\d +\d\.\d +\+\d\.\d`, got.stdout)
	assert.Contains(t, got.stdout, "Nothing was written")
	same, err := os.ReadFile(bank)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(same))

	got = execute(t, "", "learn", bank, "--results", table, "--write")
	require.Zero(t, got.status, got.stderr)
	after, err := os.ReadFile(bank)
	require.NoError(t, err)
	assert.Contains(t, string(after), "difficulty = ")
	assert.Contains(t, string(after), "# mine\n")
	assert.Contains(t, string(after), "# easy\n")
	assert.Zero(t, execute(t, "", "check", bank).status)
	graded := execute(t, "", "grade", bank).stdout
	assert.Contains(t, graded, "(learned from 8 groups; the program says ")
	assert.NotContains(t, graded, "placed by you")
	again := execute(t, "", "learn", bank, "--results", table, "--write", "--least", "0.01")
	assert.Contains(t, again.stderr, "stays as it is", "learning again from the same results moves nothing")
}

func TestLearnFromTheHistory(t *testing.T) {
	log := savedTerm(t)
	got := execute(t, "", "learn", "--history", log, "--json")
	require.Zero(t, got.status, got.stderr)
	var lesson struct{ Phrases []struct{ ID string } }
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &lesson))
	assert.Len(t, lesson.Phrases, 5)
	assert.Equal(t, fault.ExitUsage, execute(t, "", "learn", "--history", log, "--write").status,
		"the starter bank can't be written")
	empty := execute(t, "", "learn", "--history", filepath.Join(t.TempDir(), "none"))
	assert.Equal(t, fault.ExitInput, empty.status)
	assert.Equal(t, 1, strings.Count(empty.stderr, "\n"), empty.stderr)
}

func TestRespacePutsSpacingInOrder(t *testing.T) {
	messy := "[[phrase]]\nid=\"mast\"\nmeter  = \"4/4\"\nrhythm = \"x  x xx   x\"  # four\n"
	path := write(t, "mast.toml", messy)
	printed := execute(t, "", "respace", path)
	require.Zero(t, printed.status, printed.stderr)
	assert.Contains(t, printed.stdout, "id = \"mast\"\n")
	assert.Contains(t, printed.stdout, "rhythm = \"x x xx x\"")
	assert.Contains(t, printed.stdout, "# four")

	diffed := execute(t, "", "respace", "--changes", path)
	assert.True(t, strings.HasPrefix(diffed.stdout, "--- "+path+"\n+++ "+path+"\n@@ "), diffed.stdout)
	assert.Contains(t, diffed.stdout, "\n-id=\"mast\"\n")
	same, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, messy, string(same))

	written := execute(t, "", "respace", "--in-place", path)
	require.Zero(t, written.status, written.stderr)
	assert.Empty(t, written.stdout)
	now, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, printed.stdout, string(now))
	assert.Empty(t, execute(t, "", "respace", "--in-place", path).stderr, "a second time changes nothing")
	assert.Empty(t, execute(t, "", "respace", "--changes", path).stdout)
	assert.Equal(t, printed.stdout, execute(t, messy, "respace", "-").stdout)
	assert.Equal(t, fault.ExitUsage, execute(t, "", "respace", "--in-place", "--changes", path).status)
	assert.Equal(t, fault.ExitInput, execute(t, "[[phrase\n", "respace", "-").status)
}
