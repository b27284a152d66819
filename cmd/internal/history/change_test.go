package history

import (
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var today = time.Date(2026, 4, 1, 18, 0, 0, 0, time.UTC)

func TestUndoTakesBackTheLastThingAndRedoBringsItBack(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("A", 0), record("B", 1))
	require.NoError(t, l.AddNote(t.Context(), Note{"A", today, "two new people"}))
	for _, step := range []struct {
		what    func() (Change, error)
		kind    string
		records []string
		notes   int
	}{
		{func() (Change, error) { return l.Undo(t.Context(), today) }, "note", []string{"A", "B"}, 0},
		{func() (Change, error) { return l.Undo(t.Context(), today) }, "warm-up", []string{"A"}, 0},
		{func() (Change, error) { return l.Redo(t.Context(), today) }, "warm-up", []string{"A", "B"}, 0},
		{func() (Change, error) { return l.Redo(t.Context(), today) }, "note", []string{"A", "B"}, 1},
	} {
		change, err := step.what()
		require.NoError(t, err)
		assert.Equal(t, step.kind, change.Kind)
		c := read(t, l)
		assert.Equal(t, step.records, labels(c))
		assert.Len(t, c.Notes, step.notes)
	}
	_, err := l.Redo(t.Context(), today)
	assert.ErrorIs(t, err, ErrNothing)
}

func TestUndoneAgainAndAgainALogIsEmptyAndRedoneItIsWhole(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("A", 0), record("A", 0), record("B", 1)) // two lines that read the same
	require.NoError(t, l.Remove(t.Context(), read(t, l).Records[:1], today))
	whole := read(t, l)
	steps := 0
	for ; ; steps++ {
		if _, err := l.Undo(t.Context(), today); err != nil {
			require.ErrorIs(t, err, ErrNothing)
			break
		}
	}
	assert.Equal(t, 4, steps)
	assert.Empty(t, read(t, l).Records)
	for range steps {
		_, err := l.Redo(t.Context(), today)
		require.NoError(t, err)
	}
	assert.Equal(t, labels(whole), labels(read(t, l)))
}

func TestRemoveTakesOutWhatItNamesAndUndoBringsItBack(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("A", 0), record("A", 7), record("B", 1))
	require.NoError(t, l.Remove(t.Context(), read(t, l).Records[:1], today))
	c := read(t, l)
	require.Len(t, c.Records, 2)
	assert.Equal(t, 8, c.Records[0].Date.Day())
	change, err := l.Undo(t.Context(), today)
	require.NoError(t, err)
	assert.Equal(t, Change{Kind: "remove", Group: "A", Date: today, WarmUps: 1}, change)
	assert.Len(t, read(t, l).Records, 3)

	assert.ErrorIs(t, l.Remove(t.Context(), nil, today), ErrNothing)
	assert.Error(t, l.Remove(t.Context(), read(t, l).Records, today), "of two groups")
}

func TestForgettingLeavesNothingToBringBack(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("A", 0), record("B", 1))
	require.NoError(t, l.AddNote(t.Context(), Note{"a", today, "secret"}))
	require.NoError(t, l.AddOutcome(t.Context(), Outcome{Group: "A", Date: today, Heard: "got"}))
	_, err := l.Undo(t.Context(), today)
	require.NoError(t, err)
	gone, err := l.Forget(t.Context(), "A")
	require.NoError(t, err)
	assert.Equal(t, 1, gone.Records)
	data, err := os.ReadFile(l.Path())
	require.NoError(t, err)
	assert.NotContains(t, string(data), "secret")
	assert.NotContains(t, strings.ToLower(string(data)), `"group":"a"`)
	assert.Equal(t, []string{"B"}, labels(read(t, l)))
}

func TestNothingIsUndoneInALogThatIsNot(t *testing.T) {
	l := newLog(t)
	_, err := l.Undo(t.Context(), today)
	assert.ErrorIs(t, err, ErrNothing)
	_, err = os.Stat(l.Path())
	assert.True(t, errors.Is(err, os.ErrNotExist), "and none is made")
}

func TestNotesAndOutcomesAreChecked(t *testing.T) {
	l := newLog(t)
	half, wrong := 0.5, 1.5
	for _, err := range []error{
		l.AddNote(t.Context(), Note{"A", today, " "}),
		l.AddNote(t.Context(), Note{"", today, "x"}),
		l.AddNote(t.Context(), Note{"A", time.Time{}, "x"}),
		l.AddNote(t.Context(), Note{"A", today, strings.Repeat("x", maxNote+1)}),
		l.AddOutcome(t.Context(), Outcome{Group: "A", Date: today, Heard: "nearly"}),
		l.AddOutcome(t.Context(), Outcome{
			Group: "A", Date: today, Heard: "got",
			Opener: Opener{Chance: &wrong},
		}),
	} {
		_, ok := errors.AsType[*RecordError](err)
		assert.True(t, ok, "%v", err)
	}
	require.NoError(t, l.AddOutcome(t.Context(),
		Outcome{Group: "A", Date: today, Heard: "lost", Opener: Opener{Piece: "mooring", Chance: &half}}))
	got := read(t, l).Outcomes
	require.Len(t, got, 1)
	assert.Equal(t, "mooring", got[0].Piece)
	assert.Equal(t, half, *got[0].Chance)
}

func TestEveryLineIsOfTheSchema(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("A", 0))
	half := 0.5
	require.NoError(t, l.AddNote(t.Context(), Note{"A", today, "x"}))
	require.NoError(t, l.AddOutcome(t.Context(),
		Outcome{
			Group: "A", Date: today, Heard: "lost",
			Opener: Opener{Piece: "mooring", Chance: &half, Raw: &half},
		}))
	require.NoError(t, l.Remove(t.Context(), read(t, l).Records, today))
	_, err := l.Undo(t.Context(), today)
	require.NoError(t, err)
	_, err = l.Redo(t.Context(), today)
	require.NoError(t, err)
	data, err := os.ReadFile(l.Path())
	require.NoError(t, err)
	schema := compiledSchema(t)
	for line := range strings.Lines(string(data)) {
		assert.NoError(t, validate(t, schema, []byte(line)), line)
		broken := strings.NewReplacer(`"text"`, `"txt"`, `"heard"`, `"herd"`, `"of"`, `"off"`, `"rounds"`, `"runds"`).Replace(line)
		assert.Error(t, validate(t, schema, []byte(broken)), broken)
	}
}
