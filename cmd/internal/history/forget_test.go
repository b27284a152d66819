package history

import (
	"bytes"
	"os"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestForgottenGroupIsGoneFromEveryByte(t *testing.T) {
	l := newLog(t)
	secret := "Fo'c'sle Ünison"
	appendAll(t, l, record("Lunch clappers", 0), record(secret, 0), record("Lunch clappers", 7),
		record(secret, 7))
	old, err := os.Open(l.Path()) // somebody still has the old file open
	require.NoError(t, err)
	defer old.Close()

	forgotten, err := l.Forget(t.Context(), "  fo'c'sle  u\u0308NISON ")
	require.NoError(t, err)
	assert.Equal(t, Forgotten{Records: 2}, forgotten)
	assert.Equal(t, []string{"Lunch clappers", "Lunch clappers"}, labels(read(t, l)))
	now, err := os.ReadFile(l.Path())
	require.NoError(t, err)
	assert.NotContains(t, string(now), "Ünison")
	assert.Equal(t, 2, bytes.Count(now, []byte{'\n'}))
	if runtime.GOOS != "windows" {
		left, err := os.ReadFile("/dev/fd/" + itoa(old.Fd()))
		if err == nil {
			assert.NotContains(t, string(left), "Ünison", "the old file's bytes are overwritten")
		}
	}
	again, err := l.Forget(t.Context(), secret)
	require.NoError(t, err)
	assert.Equal(t, Forgotten{}, again)
}

func itoa(n uintptr) string { return strings.TrimSpace(string(number(float64(n)))) }

func TestForgettingKeepsOtherLinesByteForByte(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0), record("Night tide", 0))
	kept := "{\"schema\":\"clapladder/history/7\", \"group\":\"Rope locker crew\",  \"odd\":[1, 2]}"
	text, err := os.ReadFile(l.Path())
	require.NoError(t, err)
	lines := strings.SplitAfter(string(text), "\n")
	require.NoError(t, os.WriteFile(l.Path(), []byte(lines[0]+kept+"\n"+lines[1]), 0o600))
	_, err = l.Forget(t.Context(), "Night tide")
	require.NoError(t, err)
	text, err = os.ReadFile(l.Path())
	require.NoError(t, err)
	assert.Equal(t, lines[0]+kept+"\n", string(text))
}

func TestDamagedLinesGoUnlessTheyAreOfAnotherGroup(t *testing.T) {
	for name, c := range map[string]struct {
		line string
		want Forgotten
		stay bool
	}{
		"cut off before the group":    {`{"schema":"clapladder/history/1","gro`, Forgotten{Damaged: 1}, false},
		"cut off inside the label":    {`{"schema":"clapladder/history/1","group":"Night t`, Forgotten{Damaged: 1}, false},
		"cut off after its label":     {`{"schema":"clapladder/history/1","group":"NIGHT tide","da`, Forgotten{Damaged: 1}, false},
		"label with escaped letters":  {`{"group":"Night\u0020tide","da`, Forgotten{Damaged: 1}, false},
		"of another group":            {`{"schema":"clapladder/history/1","group":"Lunch clappers","da`, Forgotten{}, true},
		"two records run together":    {`{"group":"Lunch clappers"}{"group":"Night tide"}`, Forgotten{Damaged: 1}, false},
		"newer, of the group":         {`{"schema":"clapladder/history/2","group":"Night tide"}`, Forgotten{Records: 1}, false},
		"newer, not said of whom":     {`{"schema":"clapladder/history/2","label":"?"}`, Forgotten{Kept: 1}, true},
		"zeros":                       {strings.Repeat("\x00", 99), Forgotten{Damaged: 1}, false},
		"longer than any record":      {`{"group":"Lunch clappers",` + strings.Repeat("x", maxLine), Forgotten{Damaged: 1}, false},
		"an empty line says nothing":  {"", Forgotten{}, true},
		"a good record of the others": {"GOOD", Forgotten{}, true},
	} {
		t.Run(name, func(t *testing.T) {
			l := newLog(t)
			appendAll(t, l, record("Lunch clappers", 0))
			good, err := os.ReadFile(l.Path())
			require.NoError(t, err)
			line := strings.Replace(c.line, "GOOD", strings.TrimSpace(string(good)), 1)
			text := string(good) + line + "\n" + string(good)
			require.NoError(t, os.WriteFile(l.Path(), []byte(text), 0o600))
			forgotten, err := l.Forget(t.Context(), "Night tide")
			require.NoError(t, err)
			assert.Equal(t, c.want, forgotten)
			after, err := os.ReadFile(l.Path())
			require.NoError(t, err)
			if c.stay {
				assert.Equal(t, text, string(after), "nothing to forget leaves the file alone")
			} else {
				assert.Equal(t, string(good)+string(good), string(after))
			}
		})
	}
}

func TestForgettingInALogThatDoesNotExistDoesNothing(t *testing.T) {
	forgotten, err := newLog(t).Forget(t.Context(), "Night tide")
	require.NoError(t, err)
	assert.Equal(t, Forgotten{}, forgotten)
	_, err = newLog(t).Forget(t.Context(), " ")
	assert.EqualError(t, err, "say which group to forget")
}

func TestLeftoverOfAStoppedRewriteIsClearedAway(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0))
	require.NoError(t, os.WriteFile(l.rewritten(), []byte("Night tide"), 0o600))
	_, err := l.Forget(t.Context(), "Night tide")
	require.NoError(t, err)
	assert.NoFileExists(t, l.rewritten())
}
