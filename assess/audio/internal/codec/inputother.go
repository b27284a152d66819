//go:build windows || plan9

package codec

import (
	"errors"
	"os"
	"path/filepath"
)

// errIsDirectory matches nothing here: folders are recognised before reading.
var errIsDirectory = errors.New("is a directory")

// privateFile is an empty file for this user. An open file keeps its name on this system, so what a
// killed program left behind is removed when the next one needs a copy; those in use can't be.
func privateFile() (*os.File, error) {
	stale, _ := filepath.Glob(filepath.Join(os.TempDir(), tempPattern))
	for _, name := range stale {
		_ = os.Remove(name)
	}
	return os.CreateTemp("", tempPattern)
}

// forget removes a private file.
func forget(file *os.File) error { return errors.Join(file.Close(), os.Remove(file.Name())) }
