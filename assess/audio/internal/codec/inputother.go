//go:build windows || plan9

package codec

import "errors"

// errIsDirectory matches nothing here: folders are recognised before reading.
var errIsDirectory = errors.New("is a directory")
