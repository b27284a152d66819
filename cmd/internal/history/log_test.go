package history

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhatIsAppendedIsReadBack(t *testing.T) {
	l := newLog(t)
	first, second := record("Lunch clappers", 0), record("Rope locker crew", 1)
	second.Estimate, second.Rounds = nil, nil
	appendAll(t, l, first, second)
	c := read(t, l)
	require.Empty(t, c.Problems)
	require.Len(t, c.Records, 2)
	first.Schema, first.Line, first.key = SchemaName, 1, c.Records[0].key
	second.Schema, second.Line, second.Rounds, second.key = SchemaName, 2, []Round{}, c.Records[1].key
	assert.Equal(t, first, c.Records[0])
	assert.Equal(t, second, c.Records[1])
}

func TestLongLogKeepsItsOrder(t *testing.T) {
	const warmUps = 300
	l := newLog(t)
	for day := range warmUps {
		appendAll(t, l, record("Lunch clappers", day))
	}
	c := read(t, l)
	assert.Empty(t, c.Problems)
	require.Len(t, c.Records, warmUps)
	for i := 1; i < warmUps; i++ {
		require.True(t, c.Records[i].Date.After(c.Records[i-1].Date), "record %d", i)
	}
}

func TestLogThatDoesNotExistIsEmptyAndStaysAway(t *testing.T) {
	l := newLog(t)
	assert.Empty(t, read(t, l).Records)
	_, err := os.Stat(filepath.Dir(l.Path()))
	assert.ErrorIs(t, err, os.ErrNotExist, "reading makes nothing")
}

func TestLogIsItsUsersAlone(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("permissions are those of the user's folder")
	}
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0), record("Night tide", 0))
	_, err := l.Forget(t.Context(), "Night tide")
	require.NoError(t, err)
	for path, want := range map[string]os.FileMode{
		l.Path(): 0o600, l.Path() + ".lock": 0o600, filepath.Dir(l.Path()): 0o700,
	} {
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode().Perm(), path)
	}
}

func TestSymbolicLinkStaysALink(t *testing.T) {
	folder := t.TempDir()
	real := filepath.Join(folder, "synced.jsonl")
	appendAll(t, Open(real), record("Lunch clappers", 0), record("Night tide", 0))
	link := filepath.Join(folder, "history.jsonl")
	if err := os.Symlink(real, link); err != nil {
		t.Skip(err)
	}
	_, err := Open(link).Forget(t.Context(), "Night tide")
	require.NoError(t, err)
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink)
	assert.Equal(t, []string{"Lunch clappers"}, labels(read(t, Open(real))))
}

func TestRecordsThatCantBeLoggedChangeNothing(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Record)
		want   string
	}{
		"no label": {
			func(r *Record) { r.Group = " \t" },
			"a group needs a label, such as the place and the day it meets",
		},
		"endless label": {
			func(r *Record) { r.Group = strings.Repeat("ö", 201) },
			"the group's label has more than 200 characters; write a shorter one",
		},
		"no date": {func(r *Record) { r.Date = time.Time{} }, "a record needs a date from 1970 on"},
		"year 20260": {
			func(r *Record) { r.Date = r.Date.AddDate(18234, 0, 0) },
			"a record needs a date from 1970 on",
		},
		"share above one": {
			func(r *Record) { r.Rounds[1].Share = new(1.2) },
			"round 2: a share of 1.2; give a number from 0 to 1",
		},
		"share not number": {
			func(r *Record) { r.Rounds[0].Share = new(math.NaN()) },
			"round 1: a share of NaN; give a number from 0 to 1",
		},
		"nothing heard": {
			func(r *Record) { r.Rounds[2].Heard = "" },
			"round 3: neither a share nor what was heard",
		},
		"odd verdict": {func(r *Record) { r.Rounds[2].Heard = "sort of" }, `round 3: heard "sort of"; write got, partly or lost`},
		"difficulty": {
			func(r *Record) { r.Rounds[0].Difficulty = math.Inf(1) },
			"round 1: a difficulty of +Inf is not on the tier scale",
		},
		"attempt": {
			func(r *Record) { r.Rounds[0].Attempt = 0 },
			"round 1: attempt 0; count tries from 1",
		},
		"notation": {
			func(r *Record) { r.Rounds[0].Notation = "x q" },
			"round 1: the notation can't be read",
		},
		"metre": {
			func(r *Record) { r.Rounds[0].Meter = "4/5" },
			"round 1: the notation can't be read",
		},
		"estimate": {
			func(r *Record) { r.Estimate.AbilitySD = math.NaN() },
			"the estimate holds NaN, which is not on the tier scale",
		},
		"people": {
			func(r *Record) { r.People = -1 },
			"-1 people; give a number from 1 to 100000, or 0 where nobody counted",
		},
		"a thousand rounds": {
			func(r *Record) { r.Rounds = make([]Round, 1001) },
			"1001 rounds are more than a warm-up has; at most 1000 are kept",
		},
	} {
		t.Run(name, func(t *testing.T) {
			l := newLog(t)
			r := record("Lunch clappers", 0)
			c.change(&r)
			err := l.Append(t.Context(), r)
			var wrong *RecordError
			require.ErrorAs(t, err, &wrong)
			assert.Contains(t, err.Error(), c.want)
			assert.Empty(t, read(t, l).Records)
		})
	}
}

func TestDatesKeepTheirZoneToTheSecond(t *testing.T) {
	l := newLog(t)
	r := record("Lunch clappers", 0)
	r.Date = time.Date(2026, 7, 3, 12, 30, 15, 987, time.FixedZone("", 2*3600))
	odd := record("Lunch clappers", 0)
	odd.Date = time.Date(1975, 1, 1, 12, 0, 0, 0, time.FixedZone("", -2670)) // 44 min 30 s west
	appendAll(t, l, r, odd)
	c := read(t, l)
	assert.Equal(t, "2026-07-03T12:30:15+02:00", c.Records[0].Date.Format(time.RFC3339))
	assert.True(t, odd.Date.Equal(c.Records[1].Date))
}

func TestDamagedAndNewerLinesAreReportedAndSkipped(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0))
	good, err := os.ReadFile(l.Path())
	require.NoError(t, err)
	lines := []string{
		strings.TrimSpace(string(good)),
		`{"schema":"clapladder/history/1","group":"cut off`,
		"",
		strings.Repeat("\x00", 300),
		`{"schema":"clapladder/history/2","group":"Lunch clappers","future":true}`,
		`{"schema":"clapladder/history/1","group":7}`,
		`{"schema":"something/else/1"}`,
		`[1,2,3]`,
		strings.Repeat("x", maxLine+5000),
		strings.Replace(strings.TrimSpace(string(good)), `"share":0.8`, `"share":8`, 1),
		strings.Replace(strings.TrimSpace(string(good)), `"source"`, `"added_later":{"a":[1]},"source"`, 1) + "\r",
		"\xef\xbb\xbf" + strings.TrimSpace(string(good)),
	}
	require.NoError(t, os.WriteFile(l.Path(), []byte(strings.Join(lines, "\n")), 0o600))
	c := read(t, l)
	assert.Equal(t, []string{"Lunch clappers", "Lunch clappers"}, labels(c))
	assert.Equal(t, 11, c.Records[1].Line, "unknown fields of the same version are no damage")
	var texts []string
	for _, p := range c.Problems {
		texts = append(texts, p.String())
	}
	assert.Equal(t, []string{
		"line 2: skipped: damaged, perhaps cut off while it was written",
		"line 4: skipped: damaged, perhaps cut off while it was written",
		"line 5: skipped: written by a newer version of the program (clapladder/history/2)",
		"line 6: skipped: a field holds something else than it should",
		"line 7: skipped: not a record of a warm-up",
		"line 8: skipped: damaged, perhaps cut off while it was written",
		"line 9: skipped: longer than 1048576 bytes, which no record is",
		"line 10: skipped: round 2: a share of 8; give a number from 0 to 1",
		"line 12: skipped: damaged, perhaps cut off while it was written",
	}, texts)
	assert.True(t, c.Problems[2].Newer)
}

func TestCancelledWorkStops(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := l.Read(ctx)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = l.Forget(ctx, "Lunch clappers")
	assert.ErrorIs(t, err, context.Canceled)
	assert.Len(t, read(t, l).Records, 1)
}

func TestFolderInsteadOfAFileIsOneClearError(t *testing.T) {
	l := Open(t.TempDir())
	assert.ErrorContains(t, l.Append(t.Context(), record("Lunch clappers", 0)), "opening the history")
	_, err := l.Read(t.Context())
	assert.ErrorContains(t, err, "reading the history")
}

func TestDefaultPathFollowsTheDataFolder(t *testing.T) {
	home := func() (string, error) { return "/home/bosun", nil }
	none := func(string) string { return "" }
	for _, c := range []struct {
		system string
		env    func(string) string
		want   string
	}{
		{"linux", none, "/home/bosun/.local/share"},
		{"linux", func(k string) string { return map[string]string{"XDG_DATA_HOME": "/srv/data"}[k] }, "/srv/data"},
		{"linux", func(k string) string { return map[string]string{"XDG_DATA_HOME": "relative"}[k] }, "/home/bosun/.local/share"},
		{"darwin", none, "/home/bosun/Library/Application Support"},
		{"windows", func(k string) string { return map[string]string{"LocalAppData": `C:\bosun\Local`}[k] }, `C:\bosun\Local`},
	} {
		got, err := dataFolder(c.system, c.env, home)
		require.NoError(t, err)
		assert.Equal(t, filepath.FromSlash(c.want), got)
	}
	_, err := dataFolder("linux", none, func() (string, error) { return "", os.ErrNotExist })
	assert.Error(t, err)
}

func FuzzReadFrom(f *testing.F) {
	line, err := record("Lunch clappers", 0).Encode()
	require.NoError(f, err)
	f.Add(line)
	f.Add(append(line[:len(line)/2:len(line)/2], line...))
	f.Add([]byte("\n\n{\"schema\":\"clapladder/history/99\"}\n\x00\x00"))
	f.Add([]byte(`{"schema":"clapladder/history/1","kind":"note","group":"g","date":"2026-03-01T12:00:00Z","text":"two new people"}` + "\n" +
		`{"schema":"clapladder/history/1","kind":"outcome","group":"g","date":"2026-03-01T12:00:00Z","heard":"got","piece":"mooring","chance":0.8}` + "\n" +
		`{"schema":"clapladder/history/1","kind":"undo","group":"g","date":"2026-03-01T12:00:00Z","of":["00"]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := ReadFrom(t.Context(), strings.NewReader(string(data)))
		require.NoError(t, err)
		for _, r := range c.Records {
			again, err := r.Encode()
			require.NoError(t, err, "what can be read can be written")
			back, _, problem := decode(again, true)
			require.Nil(t, problem)
			assert.Equal(t, CleanLabel(r.Group), back.Group)
			assert.Len(t, back.Rounds, len(r.Rounds))
		}
		for _, n := range c.Notes {
			_, err := entry{Kind: kindNote, Group: n.Group, Date: n.Date, Text: n.Text}.Encode()
			require.NoError(t, err)
		}
		for _, o := range c.Outcomes {
			_, err := entry{
				Kind: kindOutcome, Group: o.Group, Date: o.Date, Heard: o.Heard,
				Opener: o.Opener,
			}.Encode()
			require.NoError(t, err)
		}
		NewReliability(c.Outcomes)
		Recalibrate(c.Outcomes).Apply(0.5)
		for _, p := range c.Problems {
			assert.Positive(t, p.Line)
			assert.NotContains(t, p.Text, "\n")
		}
	})
}
