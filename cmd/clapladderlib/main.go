// Command clapladderlib is the scorer as a C library:
//
//	go build -buildmode=c-shared -o libclapladder.so ./cmd/clapladderlib
//
// clapladder.h, beside this file, declares the functions and says who owns what; README.md shows
// them from C and Python. Builds without cgo leave the library out.
package main

/*
#include <stdlib.h>
#include <stddef.h>
*/
import "C"

import (
	"math"
	"unsafe"

	"clapladder.example/cmd/clapladderlib/internal/api"
)

func main() {} // a library has none, but the build mode asks for it

// bytesOf is the caller's memory, which is only read during a call.
func bytesOf(data unsafe.Pointer, length C.size_t) []byte {
	if data == nil || length == 0 || uint64(length) > math.MaxInt {
		return nil
	}
	return unsafe.Slice((*byte)(data), int(length))
}

//export clapladder_score
func clapladder_score(data unsafe.Pointer, length C.size_t, options *C.char) *C.char {
	text := ""
	if options != nil {
		text = C.GoString(options)
	}
	return C.CString(string(api.Score(bytesOf(data, length), []byte(text))))
}

//export clapladder_grade
func clapladder_grade(bank unsafe.Pointer, length C.size_t) *C.char {
	return C.CString(string(api.Grade(bytesOf(bank, length))))
}

//export clapladder_version
func clapladder_version() *C.char { return C.CString(string(api.Version())) }

//export clapladder_free
func clapladder_free(text *C.char) { C.free(unsafe.Pointer(text)) }
