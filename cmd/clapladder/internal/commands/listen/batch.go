package listen

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
)

// files lists the recordings, each folder as what is in it; many reports whether they get a line
// each instead of a report.
func (c *Score) files() (list []string, many bool, err error) {
	many = len(c.Recordings) > 1 || c.Jobs > 0 && len(c.Recordings) > 0
	for _, path := range c.Recordings {
		info, err := os.Stat(path)
		if path == naming.Standard || err != nil || !info.IsDir() {
			list = append(list, path)
			continue
		}
		many = true
		found, err := recordingsOf(path)
		if err != nil {
			return nil, true, err
		}
		list = append(list, found...)
	}
	if many {
		err = c.checkMany(list)
	}
	return list, many, err
}

// checkMany refuses what is about one recording.
func (c *Score) checkMany(list []string) error {
	for _, flag := range []struct {
		name  string
		given bool
	}{
		{"--html", c.HTML != ""},
		{"--title", c.Title != ""},
		{"--open", c.Open},
		{"--live", c.Live},
		{"--marks", c.Marks != ""},
		{"--order", len(c.Order) > 0},
		{"--date", c.Date != ""},
		{"--known", c.Known != nil},
	} {
		if flag.given {
			return fault.Usage("%s is about one recording; leave it out, or score one at a time", flag.name)
		}
	}
	if slices.Contains(list, naming.Standard) {
		return fault.Usage("- is one recording; leave the others and --jobs out")
	}
	return nil
}

// recordingsOf lists the recordings of a folder by name; folders in it are passed over.
func recordingsOf(folder string) ([]string, error) {
	files, err := os.ReadDir(folder)
	if err != nil {
		return nil, fault.Input(folder, fault.Plain(err))
	}
	var out []string
	for _, f := range files {
		path := filepath.Join(folder, f.Name())
		if !isRecording(f.Name()) {
			continue
		}
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() { // follows links
			out = append(out, path)
		}
	}
	if len(out) == 0 {
		return nil, fault.BadInput(folder,
			"there is no recording in this folder; name the files, or another folder")
	}
	return out, nil
}

// lineJSON is what programs read of one of several recordings: a line with a report or an error.
type lineJSON struct {
	File   string         `json:"file"`
	Report *assess.Report `json:"report,omitempty"`
	Error  string         `json:"error,omitempty"`
}

// scored is one of several recordings when it is done.
type scored struct {
	report *assess.Report
	from   logbook.Source
	err    error
}

// batch scores several recordings at a time and writes a line for each, in their order. One that
// can't be used stops no other.
func (c *Score) batch(con *console.Console, s scoring, files []string) error {
	ctx, stop := context.WithCancel(con.Ctx)
	defer stop()
	results := make([]chan scored, len(files))
	for i := range results {
		results[i] = make(chan scored, 1)
	}
	jobs := c.Jobs
	if jobs == 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	// At most so many at a time, and not far ahead of what was written, so that memory stays
	// bounded.
	places, ahead := make(chan struct{}, jobs), make(chan struct{}, 8*jobs)
	go func() {
		for i, path := range files {
			select {
			case ahead <- struct{}{}:
			case <-ctx.Done():
				return
			}
			select {
			case places <- struct{}{}:
			case <-ctx.Done():
				return
			}
			go func() {
				results[i] <- c.scoreOne(ctx, con, s, path)
				<-places
			}()
		}
	}()
	bad, failed := 0, 0
	for i, path := range files {
		con.Step(fmt.Sprintf("scoring %d of %d", i+1, len(files)))
		var done scored
		select {
		case done = <-results[i]:
		case <-ctx.Done():
			con.Step("")
			return ctx.Err()
		}
		<-ahead
		con.Step("")
		if done.err == nil && c.Save != nil {
			done.err = c.saveOne(con, s, done)
		}
		if done.err != nil {
			if err := con.Ctx.Err(); err != nil {
				return err
			}
			if bad++; !fault.IsInput(done.err) {
				failed++
			}
		}
		if err := c.line(con, path, done); err != nil {
			return err
		}
	}
	switch {
	case failed > 0:
		return fmt.Errorf("%d of %s could not be scored", bad, view.Count(len(files), "recording"))
	case bad > 0:
		return &badRecordingsError{bad, len(files)}
	}
	return nil
}

// badRecordingsError is what ends a list in which some could not be used.
type badRecordingsError struct{ bad, all int }

func (e *badRecordingsError) Error() string {
	return fmt.Sprintf("%d of %s can't be used; the list says why", e.bad, view.Count(e.all, "recording"))
}

// ExitStatus says that recordings can't be used.
func (e *badRecordingsError) ExitStatus() int { return fault.ExitInput }

func (c *Score) scoreOne(ctx context.Context, con *console.Console, s scoring, path string) scored {
	f, err := con.Open(path)
	if err != nil {
		return scored{err: err}
	}
	defer f.Close()
	from, r, finish := s.sourceOf(path, f)
	report, err := s.hear(ctx, path, false, r)
	if err != nil {
		return scored{err: con.RecordingError(path, err)}
	}
	s.remark(report, logbook.Known{}, nil)
	return scored{report, from, finish(&from)}
}

// saveOne adds one of several to the log, once: a folder that grows may be scored again and again.
func (c *Score) saveOne(con *console.Console, s scoring, done scored) error {
	quiet := con.Quiet
	con.Quiet = true
	err := c.Append(con, done.report, s.saved(c.People, done.from, logbook.Known{}))
	con.Quiet = quiet
	if twice, ok := errors.AsType[*logbook.TwiceError](err); ok {
		con.Note(done.from.Path + ": " + twice.Short())
		return nil
	}
	return err
}

// line writes the line of a recording and hands it on at once.
func (c *Score) line(con *console.Console, path string, done scored) error {
	if c.JSON {
		line := lineJSON{File: path, Report: done.report}
		if done.err != nil {
			line = lineJSON{File: path, Error: fault.OneLine(done.err.Error())}
		}
		data, err := json.Marshal(line)
		if err != nil {
			return err
		}
		con.Out(string(data) + "\n")
		return con.Stdout.Flush()
	}
	text := ""
	if done.err != nil {
		text = strings.TrimPrefix(fault.OneLine(done.err.Error()), path+": ")
	} else {
		text = view.Line(done.report)
	}
	con.Print(con.Style.Plain(path + "  " + text))
	return con.Stdout.Flush()
}
