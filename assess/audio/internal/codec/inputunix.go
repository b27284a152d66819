//go:build !windows && !plan9

package codec

import "syscall"

// errIsDirectory is what reading a folder fails with.
var errIsDirectory error = syscall.EISDIR
