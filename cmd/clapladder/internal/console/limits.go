package console

import (
	"errors"
	"time"

	"clapladder.example/assess"
	"clapladder.example/assess/audio"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/patterns/bank"
)

// The usual limits keep a wrong file or an endless stream from using up time and memory; --large is
// for the rare right one.

const raise = "add --large"

// AudioLimits is how much sound is taken.
func (con *Console) AudioLimits() audio.Options {
	if con.Large {
		return audio.Options{MaxDuration: 24 * time.Hour, MaxChannels: 64, MaxBytes: 64 << 30}
	}
	return audio.Options{}
}

// Loader reads banks and repertoires within the limits.
func (con *Console) Loader() bank.Loader {
	if con.Large {
		return bank.Loader{MaxBytes: 256 << 20, MaxEntries: 1_000_000}
	}
	return bank.Loader{MaxBytes: bank.DefaultMaxBytes, MaxEntries: bank.DefaultMaxEntries, Raise: raise}
}

// beyond is what to do about a file beyond a limit.
func (con *Console) beyond(instead string) string {
	if con.Large {
		return instead
	}
	return instead + ", or " + raise
}

// RecordingError says which recording can't be used, and what to do where it is too large.
func (con *Console) RecordingError(path string, err error) error {
	if outside, ok := errors.AsType[*assess.PartError](err); ok {
		return fault.Input(path, outside)
	}
	e, ok := errors.AsType[*audio.Error](err)
	if !ok {
		return err
	}
	if e.Kind == "limit" {
		limit := *e
		limit.Advice = con.beyond("cut it")
		if limit.Limit == "max-channels" {
			limit.Advice = con.beyond("mix it down")
		}
		e = &limit
	}
	return fault.Input(path, e)
}
