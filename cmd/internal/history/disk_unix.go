//go:build unix

package history

import (
	"io"
	"os"
	"path/filepath"
)

// syncFolder makes a new name in the folder of path survive a power cut.
func syncFolder(path string) error {
	folder, err := os.Open(filepath.Dir(path))
	if err != nil {
		return err
	}
	defer folder.Close()
	return folder.Sync()
}

// replace puts the file at from in the place of the one at to, and then overwrites
// what was there with zeros: the old file has lost its name but may be open
// elsewhere, or have been undeleted.
func replace(from, to string) error {
	old, err := os.OpenFile(to, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	defer old.Close()
	if err := os.Rename(from, to); err != nil {
		return err
	}
	if err := syncFolder(to); err != nil {
		return err
	}
	return overwrite(old)
}

// overwrite fills a file with zeros and empties it.
func overwrite(f *os.File) error {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return err
	}
	zeros := make([]byte, 64<<10)
	for left := size; left > 0; left -= int64(len(zeros)) {
		if _, err := f.Write(zeros[:min(left, int64(len(zeros)))]); err != nil {
			return err
		}
	}
	if err := f.Sync(); err != nil {
		return err
	}
	return f.Truncate(0)
}
