//go:build !unix

package history

import "os"

// syncFolder does nothing where folders can't be flushed.
func syncFolder(string) error { return nil }

// replace puts the file at from in the place of the one at to. An open file can't
// be replaced here, so the old one is not overwritten.
func replace(from, to string) error { return os.Rename(from, to) }
