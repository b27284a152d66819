package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"syscall"

	"clapladder.example/assess/audio"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

// starter is the word that stands for the files that come with the program.
const starter = "starter"

// standard stands for standard input on the command line, standardName in messages.
const (
	standard     = "-"
	standardName = "standard input"
)

// inputError is a file that can't be used.
type inputError struct {
	name string
	err  error
}

func (e *inputError) Error() string { return displayName(e.name) + ": " + e.err.Error() }
func (e *inputError) Unwrap() error { return e.err }

func badInput(name, format string, args ...any) error {
	return &inputError{name, fmt.Errorf(format, args...)}
}

// isInputError reports whether an error means that an input can't be used.
func isInputError(err error) bool {
	if _, ok := errors.AsType[*inputError](err); ok {
		return true
	}
	if _, ok := errors.AsType[*settingsError](err); ok {
		return true
	}
	if _, ok := errors.AsType[*badRecordingsError](err); ok {
		return true
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

// open opens a file to read from, or standard input for "-". The caller closes it.
func (a *app) open(path string) (io.ReadCloser, error) {
	if path == standard {
		return io.NopCloser(a.stdin), nil
	}
	f, err := a.openFile(path)
	if err != nil {
		return nil, &inputError{path, plainError(err)}
	}
	info, err := f.Stat()
	if err == nil && info.IsDir() {
		err = errors.New("this is a folder; name a file in it")
	}
	if err != nil {
		f.Close()
		return nil, &inputError{path, plainError(err)}
	}
	if !info.Mode().IsRegular() {
		return &interruptibleFile{interruptible{ctx: a.ctx, r: f}, f}, nil
	}
	return f, nil
}

// readAll reads a whole file that people edit. A file beyond the limit is refused, never cut.
func (a *app) readAll(path string) ([]byte, error) {
	f, err := a.open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	most := a.loader().MaxBytes
	data, err := io.ReadAll(io.LimitReader(f, int64(most)+1))
	if err != nil {
		return nil, &inputError{displayName(path), plainError(err)}
	}
	if len(data) > most {
		return nil, badInput(displayName(path), "the file is larger than %d MiB; %s", most>>20,
			a.beyond("split it into several files"))
	}
	return data, nil
}

// plainError takes the path, which is said already, and the system call out of an error.
func plainError(err error) error {
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

// bankPath is where the bank is that the command line means: the one in the settings for "".
func (a *app) bankPath(path string) string {
	return cmp.Or(path, a.settings.Of(settings.Bank), starter)
}

// bank loads a bank; that of the settings for "", the starter bank for "starter".
func (a *app) bank(path string) (*bank.Bank, error) {
	if path == "" && a.settingsErr != nil {
		return nil, a.settingsErr
	}
	if path = a.bankPath(path); path == starter {
		return bank.Starter(), nil
	}
	data, err := a.readAll(path)
	if err != nil {
		return nil, err
	}
	return a.loader().Bank(displayName(path), data)
}

// repertoire loads a repertoire; that of the settings for "", the starter repertoire for "starter".
func (a *app) repertoire(path string) (*bank.Repertoire, error) {
	if path == "" && a.settingsErr != nil {
		return nil, a.settingsErr
	}
	if path = cmp.Or(path, a.settings.Of(settings.Repertoire), starter); path == starter {
		return bank.StarterRepertoire(), nil
	}
	data, err := a.readAll(path)
	if err != nil {
		return nil, err
	}
	return a.loader().Repertoire(displayName(path), data)
}
