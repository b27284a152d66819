//go:build !windows && !plan9

package codec

import (
	"os"
	"syscall"
)

// errIsDirectory is what reading a folder fails with.
var errIsDirectory error = syscall.EISDIR

// privateFile is an empty file that has no name any more: only this program and those it starts
// reach it, and its space is free again when the last of them ends, however it ends.
func privateFile() (*os.File, error) {
	file, err := os.CreateTemp("", tempPattern)
	if err != nil {
		return nil, err
	}
	if err := os.Remove(file.Name()); err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

// forget lets go of a private file.
func forget(file *os.File) error { return file.Close() }
