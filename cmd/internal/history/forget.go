package history

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"regexp"
)

// Forgotten says what [Log.Forget] removed and what it had to leave.
type Forgotten struct {
	Records int // removed
	Damaged int // damaged lines removed, because they were of the group or did not say of whom
	Kept    int // lines of a newer version that don't say of which group; kept
}

// Forget removes every record of a group, notes and outcomes, and what was taken back; labels are
// compared as by [SameGroup]. Damaged lines go too where they are of the group or where it can't be
// seen of whom they are. The log is written anew beside the old one and takes its place in one
// step, so that a program that is stopped leaves either the old log or the new one; then the old
// bytes are overwritten, where the system allows it. What backups, snapshots and the spare blocks
// of a drive keep is out of reach.
func (l *Log) Forget(ctx context.Context, group string) (Forgotten, error) {
	if CleanLabel(group) == "" {
		return Forgotten{}, &RecordError{Message: "say which group to forget"}
	}
	if _, err := os.Stat(l.path); errors.Is(err, fs.ErrNotExist) {
		return Forgotten{}, nil
	}
	if err := l.checkKind(); err != nil {
		return Forgotten{}, err
	}
	unlock, err := l.lock(ctx)
	if err != nil {
		return Forgotten{}, err
	}
	defer unlock()
	forgotten, err := l.writeWithout(ctx, group)
	if err == nil && forgotten.Records+forgotten.Damaged > 0 {
		err = replace(l.rewritten(), l.path)
	} else if removeErr := os.Remove(l.rewritten()); err == nil && removeErr != nil &&
		!errors.Is(removeErr, fs.ErrNotExist) {
		err = removeErr
	}
	if err != nil {
		return Forgotten{}, fmt.Errorf("rewriting the history: %w", err)
	}
	return forgotten, nil
}

// writeWithout writes what stays to the file that is to take the log's place.
func (l *Log) writeWithout(ctx context.Context, group string) (forgotten Forgotten, err error) {
	old, err := os.Open(l.path)
	if err != nil {
		return forgotten, err
	}
	defer old.Close()
	if err := checkBeginning(old); err != nil {
		return forgotten, err
	}
	f, err := os.OpenFile(l.rewritten(), os.O_WRONLY|os.O_CREATE|os.O_TRUNC, filePermission)
	if err != nil {
		return forgotten, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	w := bufio.NewWriterSize(writerFunc(func(p []byte) (int, error) { return l.put(f, p) }), 64<<10)
	err = eachLine(ctx, old, func(_ int, line []byte, whole bool) error {
		if goes := forgotten.count(line, whole, group); goes {
			return nil
		}
		if _, err := w.Write(line); err != nil {
			return err
		}
		return w.WriteByte('\n')
	})
	if err != nil {
		return forgotten, err
	}
	if err := w.Flush(); err != nil {
		return forgotten, err
	}
	return forgotten, f.Sync()
}

type writerFunc func(p []byte) (int, error)

func (w writerFunc) Write(p []byte) (int, error) { return w(p) }

// count decides whether a line goes.
func (f *Forgotten) count(line []byte, whole bool, group string) (goes bool) {
	if len(line) == 0 {
		return true // says nothing
	}
	record, e, problem := decode(line, whole)
	switch {
	case record != nil && SameGroup(record.Group, group):
		f.Records++
		return true
	case e != nil:
		return SameGroup(e.Group, group)
	case record != nil:
		return false
	}
	labels := labelsIn(line)
	for _, label := range labels {
		if !SameGroup(label, group) {
			continue
		}
		if problem.Newer {
			f.Records++
		} else {
			f.Damaged++
		}
		return true
	}
	switch {
	case len(labels) > 0 && whole:
		return false
	case problem.Newer:
		f.Kept++
		return false
	}
	f.Damaged++
	return true
}

var labelField = regexp.MustCompile(`"group"\s*:\s*("(?:[^"\\]|\\.)*")`)

// labelsIn finds the labels in a line that can't be read as a record.
func labelsIn(line []byte) []string {
	var labels []string
	for _, match := range labelField.FindAllSubmatch(line, -1) {
		var label string
		if json.Unmarshal(match[1], &label) == nil {
			labels = append(labels, label)
		}
	}
	return labels
}
