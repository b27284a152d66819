//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd || windows)

package history

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// try makes a file that must not exist yet. Such a lock outlives a program that is
// killed; the message of ErrBusy names the file, which may then be removed by hand.
// Readers and writers are not told apart.
func try(path string, _ bool) (release func(), err error) {
	path += ".held"
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, filePermission)
	switch {
	case errors.Is(err, fs.ErrExist):
		return nil, errHeld
	case err != nil:
		return nil, fmt.Errorf("locking the history: %w", err)
	}
	f.Close()
	return func() { os.Remove(path) }, nil
}
