package history

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"
)

// ErrNothing is returned by [Log.Undo] and [Log.Redo] where there is nothing to take back, and by
// [Log.Remove] where there is no such warm-up.
var ErrNothing = errors.New("there is nothing of the kind in the history")

// AddNote writes down what a leader noted about a group. As with [Log.Append], it is safe once
// AddNote returns.
func (l *Log) AddNote(ctx context.Context, n Note) error { return l.appendOne(ctx, n) }

// AddOutcome writes down how an opener went.
func (l *Log) AddOutcome(ctx context.Context, o Outcome) error { return l.appendOne(ctx, o) }

// appendOne adds a line, unless it could not be written down.
func (l *Log) appendOne(ctx context.Context, e interface{ Encode() ([]byte, error) }) error {
	line, err := e.Encode()
	if err != nil {
		return err
	}
	return l.appendWith(ctx, func(io.Reader) ([]byte, error) { return line, nil })
}

// Remove takes warm-ups out of the log; they are records of this log as it was read. They stay in
// the file, so that [Log.Undo] can bring them back, until their group is forgotten.
func (l *Log) Remove(ctx context.Context, records []Record, now time.Time) error {
	if len(records) == 0 {
		return ErrNothing
	}
	e := entry{Kind: kindRemove, Group: records[0].Group, Date: now}
	for _, r := range records {
		if !SameGroup(r.Group, e.Group) {
			return &RecordError{Message: "warm-ups of two groups can't be removed at once"}
		}
		e.Of = append(e.Of, r.key)
	}
	return l.appendOne(ctx, e)
}

// Undo takes back the last thing that was done to the log: a warm-up that was saved, a note, an
// outcome, a removal. Done again it goes a step further back. What was taken back stays in the
// file, for [Log.Redo].
func (l *Log) Undo(ctx context.Context, now time.Time) (Change, error) {
	return l.turn(ctx, kindUndo, now, (*lineLog).last)
}

// Redo brings back what the last undo took.
func (l *Log) Redo(ctx context.Context, now time.Time) (Change, error) {
	return l.turn(ctx, kindRedo, now, (*lineLog).lastUndone)
}

// turn appends a line about the one that find finds, with the log locked from reading to writing.
func (l *Log) turn(ctx context.Context, kind string, now time.Time,
	find func(*lineLog) (*line, bool),
) (Change, error) {
	var change Change
	if _, err := os.Stat(l.path); errors.Is(err, os.ErrNotExist) {
		return change, ErrNothing
	}
	err := l.appendWith(ctx, func(old io.Reader) ([]byte, error) {
		lines, _, err := readLines(ctx, old)
		if err != nil {
			return nil, err
		}
		found, ok := find(lines)
		if !ok {
			return nil, ErrNothing
		}
		change = found.change()
		return entry{Kind: kind, Group: found.group(), Date: now, Of: []string{found.key}}.Encode()
	})
	return change, err
}

// appendWith adds the line that make makes of the log as it is, and returns when it is safely on
// the disk.
func (l *Log) appendWith(ctx context.Context, make func(old io.Reader) ([]byte, error)) error {
	if err := l.checkKind(); err != nil {
		return err
	}
	if err := l.makeFolder(); err != nil {
		return err
	}
	unlock, err := l.lock(ctx)
	if err != nil {
		return err
	}
	defer unlock()
	_, missing := os.Stat(l.path)
	f, err := os.OpenFile(l.path, os.O_RDWR|os.O_CREATE|os.O_APPEND, filePermission)
	if err != nil {
		return fmt.Errorf("opening the history: %w", err)
	}
	var line []byte
	if err = checkBeginning(f); err == nil {
		line, err = make(f)
	}
	if err == nil {
		err = l.appendLine(f, line)
	}
	err = errors.Join(err, f.Close())
	if err == nil && missing != nil {
		err = syncFolder(l.path)
	}
	if err != nil {
		return fmt.Errorf("writing the history: %w", err)
	}
	return nil
}
