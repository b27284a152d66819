//go:build js && wasm

// Command browser is the scorer as the phone page runs it, in a worker. It puts an object named
// clapladder into the worker's scope:
//
//	ask(name, json)          a command of package engine; returns JSON
//	hear(samples)            a Float32Array from the microphone; returns JSON, or "" where nothing is new
//	file(read, size, people) a recording; read(offset, length) returns a Uint8Array at once
package main

import (
	"errors"
	"io"
	"runtime/debug"
	"syscall/js"
	"unsafe"

	_ "clapladder.example/assess/audio/aac"
	_ "clapladder.example/assess/audio/mp3"
	"clapladder.example/cmd/phonepage/internal/engine"
)

// version is set by the linker.
var version = "development"

// memoryTarget makes the collector work harder above it, bytes: phones end pages that take much.
const memoryTarget = 64 << 20

// memorySlack is how much garbage may gather, per cent of what is in use: a browser never takes
// memory back from a program.
const memorySlack = 50

func main() {
	debug.SetMemoryLimit(memoryTarget)
	debug.SetGCPercent(memorySlack)
	e := engine.New("clapladder " + version + " (phone page)")
	var samples []float32
	js.Global().Set("clapladder", map[string]any{
		"ask": js.FuncOf(func(_ js.Value, args []js.Value) any {
			return e.Ask(args[0].String(), args[1].String())
		}),
		"hear": js.FuncOf(func(_ js.Value, args []js.Value) any {
			samples = floats(args[0], samples)
			return e.Hear(samples)
		}),
		"file": js.FuncOf(func(_ js.Value, args []js.Value) any {
			return e.File(&blob{read: args[0], size: int64(args[1].Float())}, args[2].Int())
		}),
	})
	js.Global().Call("ready")
	select {}
}

// floats copies a Float32Array into the memory of out, if that is enough.
func floats(array js.Value, out []float32) []float32 {
	n := array.Length()
	if n == 0 {
		return nil
	}
	if cap(out) < n {
		out = make([]float32, n)
	}
	out = out[:n]
	bytes := unsafe.Slice((*byte)(unsafe.Pointer(&out[0])), 4*n)
	view := js.Global().Get("Uint8Array").New(array.Get("buffer"), array.Get("byteOffset"),
		array.Get("byteLength"))
	js.CopyBytesToGo(bytes, view)
	return out
}

// blob is a file on the phone, read piece by piece.
type blob struct {
	read js.Value
	size int64
	at   int64
}

// Read reads the next bytes.
func (b *blob) Read(p []byte) (int, error) {
	if b.at >= b.size {
		return 0, io.EOF
	}
	n := min(int64(len(p)), b.size-b.at, 256<<10)
	array := b.read.Invoke(float64(b.at), float64(n))
	if array.IsNull() {
		return 0, errors.New("the phone does not let go of the file")
	}
	got := js.CopyBytesToGo(p[:n], array)
	b.at += int64(got)
	if got == 0 {
		return 0, io.ErrUnexpectedEOF
	}
	return got, nil
}

// Seek moves to another place.
func (b *blob) Seek(offset int64, whence int) (int64, error) {
	switch whence {
	case io.SeekCurrent:
		offset += b.at
	case io.SeekEnd:
		offset += b.size
	}
	if offset < 0 {
		return b.at, errors.New("a place before the file's beginning")
	}
	b.at = offset
	return offset, nil
}
