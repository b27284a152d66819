//go:build !windows && !plan9

package audio

import "syscall"

// errIsDirectory is what reading a folder fails with.
var errIsDirectory error = syscall.EISDIR
