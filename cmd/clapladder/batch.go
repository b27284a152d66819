package main

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
)

// files lists the recordings, each folder as what is in it; many reports whether they get a line
// each instead of a report.
func (c *scoreCommand) files() (list []string, many bool, err error) {
	many = len(c.Recordings) > 1 || c.Jobs > 0 && len(c.Recordings) > 0
	for _, path := range c.Recordings {
		info, err := os.Stat(path)
		if path == standard || err != nil || !info.IsDir() {
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
func (c *scoreCommand) checkMany(list []string) error {
	for flag, given := range map[string]bool{
		"--html": c.HTML != "", "--title": c.Title != "", "--open": c.Open, "--live": c.Live,
		"--marks": c.Marks != "", "--order": len(c.Order) > 0,
		"--date": c.Date != "", "--known": c.Known != nil,
	} {
		if given {
			return wrongUsage("%s is about one recording; leave it out, or score one at a time", flag)
		}
	}
	if slices.Contains(list, standard) {
		return wrongUsage("- is one recording; leave the others and --jobs out")
	}
	return nil
}

// recordingsOf lists the recordings of a folder by name; folders in it are passed over.
func recordingsOf(folder string) ([]string, error) {
	files, err := os.ReadDir(folder)
	if err != nil {
		return nil, &inputError{folder, plainError(err)}
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
		return nil, badInput(folder,
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
	from   source
	err    error
}

// batch scores several recordings at a time and writes a line for each, in their order. One that
// can't be used stops no other.
func (c *scoreCommand) batch(a *app, s scoring, files []string) error {
	ctx, stop := context.WithCancel(a.ctx)
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
				results[i] <- c.scoreOne(ctx, a, s, path)
				<-places
			}()
		}
	}()
	bad, failed := 0, 0
	for i, path := range files {
		a.step(fmt.Sprintf("scoring %d of %d", i+1, len(files)))
		var done scored
		select {
		case done = <-results[i]:
		case <-ctx.Done():
			a.step("")
			return ctx.Err()
		}
		<-ahead
		a.step("")
		if done.err == nil && c.Save != nil {
			done.err = c.saveOne(a, s, done)
		}
		if done.err != nil {
			if err := a.ctx.Err(); err != nil {
				return err
			}
			if bad++; !isInputError(done.err) {
				failed++
			}
		}
		if err := c.line(a, path, done); err != nil {
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

func (c *scoreCommand) scoreOne(ctx context.Context, a *app, s scoring, path string) scored {
	f, err := a.open(path)
	if err != nil {
		return scored{err: err}
	}
	defer f.Close()
	from, r, finish := s.sourceOf(path, f)
	report, err := s.hear(ctx, path, false, r)
	if err != nil {
		return scored{err: a.recordingError(path, err)}
	}
	s.remark(report, known{}, nil)
	return scored{report, from, finish(&from)}
}

// saveOne adds one of several to the log, once: a folder that grows may be scored again and again.
func (c *scoreCommand) saveOne(a *app, s scoring, done scored) error {
	quiet := a.quiet
	a.quiet = true
	err := c.append(a, done.report, s.saved(c.People, done.from, known{}))
	a.quiet = quiet
	if twice, ok := errors.AsType[*savedTwiceError](err); ok {
		a.note(done.from.path + ": " + twice.short())
		return nil
	}
	return err
}

// line writes the line of a recording and hands it on at once.
func (c *scoreCommand) line(a *app, path string, done scored) error {
	if c.JSON {
		line := lineJSON{File: path, Report: done.report}
		if done.err != nil {
			line = lineJSON{File: path, Error: oneLine(done.err.Error())}
		}
		data, err := json.Marshal(line)
		if err != nil {
			return err
		}
		a.out(string(data) + "\n")
		return a.stdout.Flush()
	}
	text := ""
	if done.err != nil {
		text = strings.TrimPrefix(oneLine(done.err.Error()), path+": ")
	} else {
		text = view.Line(done.report)
	}
	a.print(a.style.Plain(path + "  " + text))
	return a.stdout.Flush()
}

// step shows on a terminal how far several recordings have come; an empty text takes it away.
func (a *app) step(text string) {
	if !a.live {
		return
	}
	fmt.Fprintf(a.stderr, "\r%s\r%s", strings.Repeat(" ", 40), text)
}
