package main

import (
	"errors"
	"time"

	"clapladder.example/assess"
	"clapladder.example/assess/audio"
	"clapladder.example/patterns/bank"
)

// The usual limits keep a wrong file or an endless stream from using up time and memory; --large is
// for the rare right one.

const raise = "add --large"

func (a *app) audioLimits() audio.Options {
	if a.large {
		return audio.Options{MaxDuration: 24 * time.Hour, MaxChannels: 64, MaxBytes: 64 << 30}
	}
	return audio.Options{}
}

func (a *app) loader() bank.Loader {
	if a.large {
		return bank.Loader{MaxBytes: 256 << 20, MaxEntries: 1_000_000}
	}
	return bank.Loader{MaxBytes: bank.DefaultMaxBytes, MaxEntries: bank.DefaultMaxEntries, Raise: raise}
}

// beyond is what to do about a file beyond a limit.
func (a *app) beyond(instead string) string {
	if a.large {
		return instead
	}
	return instead + ", or " + raise
}

// recordingError says which recording can't be used, and what to do where it is too large.
func (a *app) recordingError(path string, err error) error {
	if outside, ok := errors.AsType[*assess.PartError](err); ok {
		return &inputError{displayName(path), outside}
	}
	e, ok := errors.AsType[*audio.Error](err)
	if !ok {
		return err
	}
	if e.Kind == "limit" {
		limit := *e
		limit.Advice = a.beyond("cut it")
		if limit.Limit == "max-channels" {
			limit.Advice = a.beyond("mix it down")
		}
		e = &limit
	}
	return &inputError{displayName(path), e}
}
