package history

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Permissions: a log is its user's alone.
const (
	filePermission   fs.FileMode = 0o600
	folderPermission fs.FileMode = 0o700
)

// Log is a history file. Nothing is opened or created before it is needed.
type Log struct {
	path string
	wait time.Duration                              // for other programs to let go of the lock
	put  func(f *os.File, data []byte) (int, error) // writes; tests break it
}

// lockWait is how long other programs may hold the log. Writing a record takes
// milliseconds.
const lockWait = 10 * time.Second

// Open returns the log kept in a file, which may not exist yet. A symbolic link
// is followed, so that it stays a link.
func Open(path string) *Log {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	return &Log{path: path, wait: lockWait, put: (*os.File).Write}
}

// Path is the file in which the log is kept.
func (l *Log) Path() string { return l.path }

// Append adds a record and returns when it is safely on the disk. Schema is filled
// in and the label cleaned; a date is kept to the second. The error is a
// *[RecordError] where the record can't be logged; otherwise it is about the file, and
// the log is as it was.
func (l *Log) Append(ctx context.Context, r Record) error {
	return l.appendOne(ctx, r)
}

func (l *Log) makeFolder() error {
	if err := os.MkdirAll(filepath.Dir(l.path), folderPermission); err != nil {
		return fmt.Errorf("making the folder of the history: %w", err)
	}
	return nil
}

// ErrNoHistory is wrapped by the error about a file that is something else than a
// log. It is left as it is.
var ErrNoHistory = errors.New("this is not a history of groups; name another file")

// checkKind refuses devices and pipes, which may be endless and keep nothing.
func (l *Log) checkKind() error {
	if info, err := os.Stat(l.path); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return ErrNoHistory
	}
	return nil
}

// checkBeginning refuses a file that holds something else, so that a name given by
// mistake damages nothing. A log may begin with lines that are damaged, even with zeros
// after a power failure, but a record or the first bytes of one must be near.
func checkBeginning(f *os.File) error {
	head := make([]byte, 64<<10)
	n, err := f.ReadAt(head, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	head = bytes.Trim(head[:n], "\x00\r\n\t ")
	const begins = `{"schema":"` + schemaPrefix
	if bytes.Contains(head, []byte(schemaPrefix)) || strings.HasPrefix(begins, string(head)) {
		return nil
	}
	return ErrNoHistory
}

// appendLine writes a line in one piece. If the file does not end in a line break,
// because the last writer was stopped in the middle, a line break comes first, so
// that what is damaged stays on its own line. If writing fails, the file is cut
// back to what it was.
func (l *Log) appendLine(f *os.File, line []byte) error {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	if size > 0 {
		var last [1]byte
		if _, err := f.ReadAt(last[:], size-1); err != nil {
			return err
		}
		if last[0] != '\n' {
			line = append([]byte{'\n'}, line...)
		}
	}
	n, err := l.put(f, line)
	if err == nil && n < len(line) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return errors.Join(err, f.Truncate(size))
	}
	return f.Sync()
}

// lock keeps other writers out until unlock is called, and clears away what a
// program left that was stopped while it rewrote the log.
func (l *Log) lock(ctx context.Context) (unlock func(), err error) {
	unlock, err = acquire(ctx, l.path+".lock", true, l.wait)
	if err != nil {
		return nil, err
	}
	if err := os.Remove(l.rewritten()); err != nil && !errors.Is(err, fs.ErrNotExist) {
		unlock()
		return nil, fmt.Errorf("clearing up beside the history: %w", err)
	}
	return unlock, nil
}

// rewritten is the name of the file that takes the place of the log.
func (l *Log) rewritten() string { return l.path + ".new" }
