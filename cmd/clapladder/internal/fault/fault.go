package fault

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"clapladder.example/assess/audio"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

// UsageError is a wrong command line.
type UsageError struct {
	Message string
	Command string // whose help says more; empty for the program as a whole
}

func (e *UsageError) Error() string { return e.Message }

// Usage is the error of a command line that asks for what can't be.
func Usage(format string, args ...any) error {
	return &UsageError{Message: fmt.Sprintf(format, args...)}
}

// inputError is a file that can't be used.
type inputError struct {
	name string
	err  error
}

func (e *inputError) Error() string { return naming.Display(e.name) + ": " + e.err.Error() }
func (e *inputError) Unwrap() error { return e.err }

// Input is the error of a file that can't be used. name is its path, or "-", or what it is in words;
// it is made harmless here.
func Input(name string, err error) error { return &inputError{name, err} }

// BadInput is the error of a file that can't be used for a reason of the command's own.
func BadInput(name, format string, args ...any) error {
	return Input(name, fmt.Errorf(format, args...))
}

// statusError is an error that knows its exit status, and whose text is all there is to say.
type statusError interface {
	error
	ExitStatus() int
}

// IsInput reports whether an error means that an input can't be used.
func IsInput(err error) bool {
	if _, ok := errors.AsType[*inputError](err); ok {
		return true
	}
	if e, ok := errors.AsType[statusError](err); ok {
		return e.ExitStatus() == ExitInput
	}
	if _, ok := errors.AsType[*bank.FileError](err); ok {
		return true
	}
	if _, ok := errors.AsType[*rhythm.NotationError](err); ok {
		return true
	}
	_, ok := errors.AsType[*audio.Error](err)
	return ok
}

// Plain says in plain words why a file could not be read, without the path, which is said already, and
// without the system call.
func Plain(err error) error {
	path, ok := errors.AsType[*fs.PathError](err)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return errors.New("there is no such file; check the name and the folder")
	case errors.Is(err, fs.ErrPermission):
		return errors.New("reading it is not allowed; check its permissions")
	case errors.Is(err, syscall.EISDIR):
		return errors.New("this is a folder; name a file in it")
	case ok:
		return path.Err
	}
	return err
}

// flagError is an error about the value of a flag.
type flagError struct {
	flag string
	err  error
}

// Flag says which flag an error is about. What is an input that can't be used stays one.
func Flag(flag string, err error) error { return &flagError{flag, err} }

func (e *flagError) Error() string { return e.flag + ": " + e.err.Error() }
func (e *flagError) Unwrap() error { return e.err }
