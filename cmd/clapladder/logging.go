package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/cmd/internal/history"
)

// logging is the part of the command line that says which log is meant.
type logging struct {
	History string `placeholder:"FILE" help:"${logging_history}"`
}

var loggingHelp = helptext.Texts{
	"logging_history": "The log of groups. Default: history.jsonl in the folder for your data " +
		"(clapladder manual says where).",
}

// open finds the log.
func (l logging) open(a *app) (*history.Log, error) {
	path := l.History
	if path == "" && a.settingsErr != nil {
		return nil, a.settingsErr
	}
	path = cmp.Or(path, a.settings.Of(settings.History))
	if path == "" {
		var err error
		if path, err = history.DefaultPath(); err != nil {
			return nil, fmt.Errorf("finding the history: %w; name one with --history FILE", err)
		}
	}
	return history.Open(path), nil
}

// path is where the log is; empty where that can't be known.
func (l logging) path(a *app) string {
	log, err := l.open(a)
	if err != nil {
		return ""
	}
	return log.Path()
}

// contents reads the log and says on standard error which lines can't be used.
func (l logging) contents(a *app) (*history.Log, *history.Contents, error) {
	log, err := l.open(a)
	if err != nil {
		return nil, nil, err
	}
	contents, err := a.readLog(log)
	if err != nil && a.ctx.Err() == nil {
		return nil, nil, &inputError{log.Path(), plainError(err)}
	}
	return log, contents, err
}

// warmUps reads the log and picks the warm-ups of one group.
func (l logging) warmUps(a *app, group string) (
	*history.Log, *history.Contents, []history.Record, error,
) {
	log, contents, err := l.contents(a)
	if err != nil {
		return nil, nil, nil, err
	}
	records, err := ofGroup(contents.Records, group)
	return log, contents, records, err
}

// readLog reads a log once, and again where it has changed since: a long one takes a moment. What
// it returns is only read.
func (a *app) readLog(log *history.Log) (*history.Contents, error) {
	before := stampOf(log.Path())
	if a.log.contents != nil && a.log.stamp == before && before != (stamp{}) {
		return a.log.contents, nil
	}
	contents, err := log.Read(a.ctx)
	if err != nil {
		return nil, err
	}
	for _, p := range contents.Problems {
		if text := fmt.Sprintf("%s: %s", log.Path(), p); !a.log.said[text] {
			a.note(text)
			if a.log.said == nil {
				a.log.said = map[string]bool{}
			}
			a.log.said[text] = true
		}
	}
	a.log.stamp, a.log.contents = before, contents
	return contents, nil
}

// readOnce is a log as it was read last.
type readOnce struct {
	stamp    stamp
	contents *history.Contents
	said     map[string]bool // problems that were pointed out
}

// stamp tells whether a file has changed.
type stamp struct {
	path string
	size int64
	at   time.Time
}

func stampOf(path string) stamp {
	info, err := os.Stat(path)
	if err != nil {
		return stamp{}
	}
	return stamp{path, info.Size(), info.ModTime()}
}

// records are the warm-ups of the log.
func (l logging) records(a *app) (*history.Log, []history.Record, error) {
	log, contents, err := l.contents(a)
	if err != nil {
		return nil, nil, err
	}
	return log, contents.Records, nil
}

// recordsOf reads the records of a group, of all groups where it is empty.
func (l logging) recordsOf(a *app, group string) ([]history.Record, error) {
	_, records, err := l.records(a)
	if err != nil || group == "" {
		return records, err
	}
	return ofGroup(records, group)
}

// historyError says which file an error is about, once.
func historyError(log *history.Log, err error) error {
	if record, ok := errors.AsType[*history.RecordError](err); ok {
		return wrongUsage("%v", record)
	}
	if strings.Contains(err.Error(), log.Path()) {
		return err
	}
	return fmt.Errorf("%s: %w", log.Path(), err)
}

// ofGroup returns the records of a group, or says which groups there are.
func ofGroup(records []history.Record, group string) ([]history.Record, error) {
	if history.CleanLabel(group) == "" {
		return nil, wrongUsage("say which group, such as 'lunch hour'")
	}
	if found := history.Of(records, group); len(found) > 0 {
		return found, nil
	}
	return nil, wrongUsage("the history has no group %q; %s", group, groupsAre(records))
}

// mostGroups is how many groups are listed in one line.
const mostGroups = 12

func groupsAre(records []history.Record) string {
	var labels []string
	for _, g := range history.Groups(records) {
		labels = append(labels, g.Label)
	}
	switch n := len(labels); {
	case n == 0:
		return "it holds none yet"
	case n > mostGroups:
		labels = append(labels[:mostGroups], fmt.Sprintf("and %d more", n-mostGroups))
	}
	return "groups are: " + strings.Join(labels, ", ")
}
