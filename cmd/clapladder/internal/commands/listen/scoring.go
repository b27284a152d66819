package listen

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
	"clapladder.example/cmd/clapladder/internal/commands/openers"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/version"
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
func readyTo(con *console.Console, path, repertoire string, choose openers.Choosing,
	keep *logbook.Saving,
) (scoring, error) {
	var s scoring
	var err error
	if s.bank, err = con.Bank(path); err != nil {
		return s, err
	}
	s.chosen = path != "" || con.BankPath("") != console.Starter
	s.file = con.BankPath(path)
	s.name = console.BankName(s.file)
	s.options = assess.Options{
		Comfort: choose.Comfort, Sure: choose.Sure, Filter: choose.Filter(),
		Audio: con.AudioLimits(), Tool: version.Tool(),
	}
	if s.options.Repertoire, err = con.Repertoire(repertoire); err != nil {
		return s, err
	}
	s.calibration = keep.Calibration(con)
	if s.calibration.Moves() {
		s.options.Calibrate = s.calibration.Apply
	}
	s.sum = keep.Save != nil
	return s, nil
}

// remark adds to a report what only the command knows.
func (s scoring) remark(report *assess.Report, k logbook.Known, group *string) {
	k.Mention(report, group)
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
func (s scoring) saved(people int, from logbook.Source, k logbook.Known) logbook.Details {
	out := logbook.Details{People: people, Bank: s.bank, Name: s.name, From: from, Known: k.Prior != nil}
	if s.calibration.Moves() {
		out.Raw = s.calibration.Invert
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
			return nil, fault.Input(path, e)
		}
	} else {
		report, err = assess.Recording(ctx, r, s.bank, s.options)
	}
	if e, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return nil, fault.Usage("%v", e)
	}
	return report, err
}

// sourceOf says what is known of an open file besides its content. Where the sum is wanted, what is
// read goes through the reader that is returned, and close reads the rest.
func (s scoring) sourceOf(path string, f io.ReadCloser) (from logbook.Source, r io.Reader,
	finish func(*logbook.Source) error,
) {
	from.Path = path
	file, ok := f.(*os.File)
	if ok {
		if info, err := file.Stat(); err == nil && info.Mode().IsRegular() {
			from.At = info.ModTime()
		}
	}
	if !s.sum {
		return from, f, func(*logbook.Source) error { return nil }
	}
	h := sha256.New()
	if ok { // decoders seek in a file, so it is read once more
		return from, f, func(from *logbook.Source) error {
			if _, err := file.Seek(0, io.SeekStart); err != nil {
				return err
			}
			return sumUp(from, h, file)
		}
	}
	tee := io.TeeReader(f, h)
	return from, tee, func(from *logbook.Source) error { return sumUp(from, h, f) }
}

// sumUp sums up what was not read yet.
func sumUp(from *logbook.Source, h hash.Hash, rest io.Reader) error {
	if _, err := io.Copy(h, rest); err != nil {
		return fault.Input(from.Path, fault.Plain(err))
	}
	from.Sum = "sha256:" + hex.EncodeToString(h.Sum(nil)[:16])
	return nil
}

// listen opens a recording or taps and makes the report, with where that is from and what the history
// knew of the group by the file's date.
func (c *Score) listen(con *console.Console, s scoring,
) (*assess.Report, logbook.Source, logbook.Known, error) {
	path := cmp.Or(c.Taps, c.path0())
	f, err := con.Open(path)
	if err != nil {
		return nil, logbook.Source{}, logbook.Known{}, err
	}
	defer f.Close()
	from, r, finish := s.sourceOf(path, f)
	k, err := c.Prior(con, s.bank, from)
	if err != nil {
		return nil, from, k, err
	}
	s.options.Prior = k.Prior
	hear := func(watched io.Reader) (*assess.Report, error) {
		return s.hear(con.Ctx, path, c.Taps != "", watched)
	}
	if c.Live {
		hear = func(r io.Reader) (*assess.Report, error) { return c.follow(con, s, r) }
	}
	watched, done := con.Watch(r)
	report, err := hear(watched)
	done()
	if err != nil {
		return nil, from, k, con.RecordingError(path, err)
	}
	return report, from, k, finish(&from)
}
