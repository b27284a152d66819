// Package atomicfile writes files so that readers see the old content or the new, never half of it.
package atomicfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// ErrExists is wrapped by the error of [Write] for a file that is there already.
var ErrExists = errors.New("the file exists")

// Mode says what may happen to a file that is there already.
type Mode uint8

// The modes.
const (
	KeepExisting Mode = iota // an existing file is an error
	Replace                  // an existing file is replaced and keeps its permissions
)

// WriteText replaces path, or creates it, with a text, as [Write] does.
func WriteText(path string, text []byte) error {
	return Write(path, Replace, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

// Write creates path with what fill writes. The bytes go to a temporary file in the same folder,
// which takes the name once everything is on the disk; where anything fails, path is as before and
// nothing is left behind. A symbolic link is followed, so that the file it points to is written.
func Write(path string, mode Mode, fill func(io.Writer) error) (err error) {
	permissions := fs.FileMode(0o644)
	if real, linkErr := filepath.EvalSymlinks(path); linkErr == nil {
		path = real
	}
	switch info, statErr := os.Stat(path); {
	case statErr != nil && !errors.Is(statErr, fs.ErrNotExist): // such as a link that leads to itself
		return fmt.Errorf("writing %s: %w", path, cause(statErr))
	case statErr == nil && info.IsDir():
		return fmt.Errorf("writing %s: it is a folder", path)
	case statErr == nil && mode == KeepExisting:
		return fmt.Errorf("writing %s: %w", path, ErrExists)
	case statErr == nil && !info.Mode().IsRegular(): // a pipe or a device can't be replaced
		return writeThrough(path, fill)
	case statErr == nil:
		permissions = info.Mode().Perm()
	}
	temp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return fmt.Errorf("writing %s: %w", path, cause(err))
	}
	defer func() {
		if err != nil {
			temp.Close()
			os.Remove(temp.Name())
		}
	}()
	if err := fill(temp); err != nil {
		return err
	}
	if err := temp.Chmod(permissions); err != nil {
		return fmt.Errorf("writing %s: %w", path, cause(err))
	}
	if err := temp.Sync(); err != nil {
		return fmt.Errorf("writing %s: %w", path, cause(err))
	}
	if err := temp.Close(); err != nil {
		return fmt.Errorf("writing %s: %w", path, cause(err))
	}
	if mode == KeepExisting {
		err = os.Link(temp.Name(), path) // fails where somebody else was faster
		if err == nil {
			return os.Remove(temp.Name())
		}
		if errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("writing %s: %w", path, ErrExists)
		}
	}
	if err := os.Rename(temp.Name(), path); err != nil { // also where the file system has no links
		return fmt.Errorf("writing %s: %w", path, cause(err))
	}
	return nil
}

func writeThrough(path string, fill func(io.Writer) error) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return fmt.Errorf("writing %s: %w", path, cause(err))
	}
	err = fill(f)
	return errors.Join(err, f.Close())
}

// cause takes the name of the temporary file out of an error.
func cause(err error) error {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err
	}
	if e, ok := errors.AsType[*os.LinkError](err); ok {
		return e.Err
	}
	return err
}
