// Package api is what the C library does, as bytes in and JSON out. Every call returns one JSON
// object: what was asked for, or an "error" with a "kind" for programs and a "message" for people.
// Calls may run at the same time.
package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime/debug"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/audio"
	_ "clapladder.example/assess/audio/formats" // all that the command reads
	"clapladder.example/assess/plan"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// Options are what a caller may know beyond the recording. All may be left out.
type Options struct {
	Bank       string   `json:"bank"`       // text of a bank, TOML or CSV; empty: the starter bank
	Repertoire string   `json:"repertoire"` // text of a repertoire; empty: the starter repertoire
	Comfort    float64  `json:"comfort"`    // 0.5 to 0.95; 0: 0.7
	People     int      `json:"people"`     // 0: unknown
	Tempo      float64  `json:"tempo_bpm"`  // that all calls kept; 0: unknown
	Order      []string `json:"order"`      // IDs of the phrases in the order called
	Taps       bool     `json:"taps"`       // the bytes are a table of onset times or a MIDI file
}

// The kinds of errors.
const (
	BadOptions = "options"   // the options can't be read, or a value is out of range
	BadBank    = "bank"      // the bank or the repertoire can't be used
	BadInput   = "recording" // the recording can't be used
	Failed     = "failed"    // anything else
)

type problem struct {
	Kind    string `json:"kind"`
	Message string `json:"message"`
}

func failure(kind string, err error) []byte {
	return encoded(map[string]problem{"error": {kind, strings.Join(strings.Fields(err.Error()), " ")}})
}

func encoded(value any) []byte {
	data, err := json.Marshal(value)
	if err != nil {
		return []byte(`{"error":{"kind":"failed","message":"the result can't be written"}}`)
	}
	return data
}

// guarded turns a panic into an error: a caller in another language could not recover from it.
func guarded(do func() []byte) (out []byte) {
	defer func() {
		if r := recover(); r != nil {
			out = failure(Failed, fmt.Errorf("internal error: %v", r))
		}
	}()
	return do()
}

// Score listens to a recording and returns {"report": …}. options is a JSON object of [Options], or
// empty. The bytes are only read.
func Score(data, options []byte) []byte {
	return guarded(func() []byte { return score(data, options) })
}

func score(data, options []byte) []byte {
	var o Options
	if len(bytes.TrimSpace(options)) > 0 {
		decoder := json.NewDecoder(bytes.NewReader(options))
		decoder.DisallowUnknownFields()
		if err := decoder.Decode(&o); err != nil {
			return failure(BadOptions, fmt.Errorf("the options can't be read: %w", err))
		}
	}
	switch {
	case o.Comfort != 0 && !(o.Comfort >= 0.5 && o.Comfort <= 0.95):
		return failure(BadOptions, fmt.Errorf("comfort is %g; give a share from 0.5 to 0.95", o.Comfort))
	case o.People < 0:
		return failure(BadOptions, fmt.Errorf("people is %d; give how many took part", o.People))
	case o.Tempo != 0 && !(o.Tempo >= 20 && o.Tempo <= 400):
		return failure(BadOptions, fmt.Errorf("tempo_bpm is %g; give a number from 20 to 400", o.Tempo))
	}
	phrases, err := bankOf([]byte(o.Bank))
	if err != nil {
		return failure(BadBank, err)
	}
	pieces := bank.StarterRepertoire()
	if o.Repertoire != "" {
		if pieces, err = bank.LoadRepertoire("repertoire", []byte(o.Repertoire)); err != nil {
			return failure(BadBank, err)
		}
	}
	for _, id := range o.Order {
		if _, ok := phrases.Find(id); !ok {
			return failure(BadOptions, fmt.Errorf("order: the bank has no phrase %q", id))
		}
	}
	settings := assess.Options{
		Repertoire: pieces, Comfort: o.Comfort, People: o.People, Tempo: o.Tempo, Order: o.Order,
		Tool: "clapladder " + version(),
	}
	listen := assess.Recording
	if o.Taps {
		listen = assess.Taps
	}
	report, err := listen(context.Background(), bytes.NewReader(data), phrases, settings)
	if err != nil {
		return failure(kindOf(err), err)
	}
	return encoded(map[string]*assess.Report{"report": report})
}

func kindOf(err error) string {
	if _, ok := errors.AsType[*audio.Error](err); ok {
		return BadInput
	}
	if _, ok := errors.AsType[*assess.TapsError](err); ok {
		return BadInput
	}
	if _, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return BadBank
	}
	return Failed
}

func bankOf(text []byte) (*bank.Bank, error) {
	if len(bytes.TrimSpace(text)) == 0 {
		return bank.Starter(), nil
	}
	return bank.Load("bank", text)
}

// graded is a phrase with its difficulty.
type graded struct {
	ID         string  `json:"id"`
	Name       string  `json:"name"`
	Rhythm     string  `json:"rhythm"`
	Meter      string  `json:"meter"`
	Tempo      float64 `json:"tempo_bpm"`
	Tier       int     `json:"tier"`
	Difficulty float64 `json:"difficulty"`    // tier scale
	SD         float64 `json:"difficulty_sd"` // in tiers
	Placed     bool    `json:"placed"`        // by the bank, not by the model
}

// Grade grades a bank, TOML or CSV, and returns {"phrases": […]} in the bank's order; the starter
// bank where text is empty.
func Grade(text []byte) []byte {
	return guarded(func() []byte {
		phrases, err := bankOf(text)
		if err != nil {
			return failure(BadBank, err)
		}
		list := []graded{}
		for _, g := range patterns.GradeBank(difficulty.DefaultModel(), phrases) {
			list = append(list, graded{
				ID: g.ID, Name: g.Name, Rhythm: g.Phrase.String(), Meter: g.Phrase.Meter().String(),
				Tempo: g.Phrase.Tempo(),
				Tier:  g.Tier, Difficulty: g.Difficulty, SD: g.SD, Placed: g.Pinned,
			})
		}
		return encoded(map[string][]graded{"phrases": list})
	})
}

// Version returns {"version": …, "report_schema": …}.
func Version() []byte {
	return encoded(map[string]string{"version": version(), "report_schema": assess.Schema})
}

// Release is set by the linker for a release.
var Release = ""

func version() string {
	if Release != "" {
		return Release
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "development"
}
