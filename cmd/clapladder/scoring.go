package main

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns/bank"
)

// scoring is everything that the scoring of a recording needs, made ready once.
type scoring struct {
	bank        *bank.Bank
	name        string // of the bank
	file        string // of the bank
	chosen      bool   // the command line or the settings name the bank
	options     assess.Options
	calibration history.Calibration
	sum         bool // of the recording is wanted
}

// readyTo makes ready what score and tally have in common.
func (a *app) readyTo(path, repertoire string, choose choosing, keep saving) (scoring, error) {
	var s scoring
	var err error
	if s.bank, err = a.bank(path); err != nil {
		return s, err
	}
	s.chosen = path != "" || a.bankPath("") != starter
	s.file = a.bankPath(path)
	s.name = bankName(s.file)
	s.options = assess.Options{
		Comfort: choose.Comfort, Sure: choose.Sure, Filter: choose.filter(),
		Audio: a.audioLimits(), Tool: tool(),
	}
	if s.options.Repertoire, err = a.repertoire(repertoire); err != nil {
		return s, err
	}
	s.calibration = keep.calibration(a)
	if s.calibration.Moves() {
		s.options.Calibrate = s.calibration.Apply
	}
	s.sum = keep.Save != nil
	return s, nil
}

// calibration is what earlier outcomes say chances are worth. A log that can't be read stops those
// who save to it, not those who score.
func (l logging) calibration(a *app) history.Calibration {
	if l.History == "" && a.settingsErr != nil {
		return history.Unmoved
	}
	log, err := l.open(a)
	if err != nil {
		return history.Unmoved
	}
	contents, err := a.readLog(log)
	if err != nil {
		return history.Unmoved
	}
	return history.Recalibrate(contents.Outcomes)
}

// remark adds to a report what only the command knows.
func (s scoring) remark(report *assess.Report, k known, group *string) {
	k.mention(report, group)
	s.sayHowToAdd(report)
	if s.calibration.Moves() && len(report.Openers) > 0 {
		report.Warnings = append(report.Warnings, assess.Warning{
			Code: "chances-adjusted",
			Text: fmt.Sprintf("Chances of openers are adjusted by how %s went: what would have "+
				"been 70 %% is %.0f %%. See clapladder history show.",
				view.Count(s.calibration.Cases, "earlier one"), 100*s.calibration.Apply(0.7)),
		})
	}
	if !s.chosen {
		report.Warnings = append(report.Warnings, assess.Warning{
			Code: "starter-bank",
			Text: "Graded with the starter bank. If your calls are your own, name your bank: " +
				"--bank FILE, or once for all: clapladder settings set bank FILE.",
		})
	}
}

// saved is what goes into the log besides the report.
func (s scoring) saved(people int, from source, k known) saved {
	out := saved{people: people, bank: s.bank, name: s.name, from: from, known: k.prior != nil}
	if s.calibration.Moves() {
		out.raw = s.calibration.Invert
	}
	return out
}

// hear makes the report of a recording, or of taps, that has been opened.
func (s scoring) hear(ctx context.Context, path string, taps bool, r io.Reader) (*assess.Report, error) {
	var report *assess.Report
	var err error
	if taps {
		report, err = assess.Taps(ctx, r, s.bank, s.options)
		if e, ok := errors.AsType[*assess.TapsError](err); ok {
			return nil, &inputError{displayName(path), e}
		}
	} else {
		report, err = assess.Recording(ctx, r, s.bank, s.options)
	}
	if e, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return nil, wrongUsage("%v", e)
	}
	return report, err
}

// sourceOf says what is known of an open file besides its content. Where the sum is wanted, what is
// read goes through the reader that is returned, and close reads the rest.
func (s scoring) sourceOf(path string, f io.ReadCloser) (from source, r io.Reader,
	finish func(*source) error,
) {
	from.path = path
	file, ok := f.(*os.File)
	if ok {
		if info, err := file.Stat(); err == nil && info.Mode().IsRegular() {
			from.at = info.ModTime()
		}
	}
	if !s.sum {
		return from, f, func(*source) error { return nil }
	}
	h := sha256.New()
	if ok { // decoders seek in a file, so it is read once more
		return from, f, func(from *source) error {
			if _, err := file.Seek(0, io.SeekStart); err != nil {
				return err
			}
			return from.finish(h, file)
		}
	}
	tee := io.TeeReader(f, h)
	return from, tee, func(from *source) error { return from.finish(h, f) }
}

// finish sums up what was not read yet.
func (from *source) finish(h hash.Hash, rest io.Reader) error {
	if _, err := io.Copy(h, rest); err != nil {
		return &inputError{displayName(from.path), plainError(err)}
	}
	from.sum = "sha256:" + hex.EncodeToString(h.Sum(nil)[:16])
	return nil
}

// listen opens a recording or taps and makes the report. before, if there is one, may change the
// options once the file's date is known.
func (c *scoreCommand) listen(a *app, s scoring) (*assess.Report, source, known, error) {
	path := cmp.Or(c.Taps, c.path0())
	f, err := a.open(path)
	if err != nil {
		return nil, source{}, known{}, err
	}
	defer f.Close()
	from, r, finish := s.sourceOf(path, f)
	k, err := c.prior(a, s.bank, from)
	if err != nil {
		return nil, from, k, err
	}
	s.options.Prior = k.prior
	hear := func(watched io.Reader) (*assess.Report, error) {
		return s.hear(a.ctx, path, c.Taps != "", watched)
	}
	if c.Live {
		hear = func(r io.Reader) (*assess.Report, error) { return c.follow(a, s, r) }
	}
	watched, done := a.watch(r)
	report, err := hear(watched)
	done()
	if err != nil {
		return nil, from, k, a.recordingError(path, err)
	}
	return report, from, k, finish(&from)
}
