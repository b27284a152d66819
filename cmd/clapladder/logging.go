package main

import (
	"errors"
	"fmt"
	"strings"

	"clapladder.example/assess/history"
)

// logging is the part of the command line that says which log is meant.
type logging struct {
	History string `placeholder:"FILE" help:"The log of groups. Default: history.jsonl in the folder for your data (clapladder manual says where)."`
}

// open finds the log.
func (l logging) open() (*history.Log, error) {
	path := l.History
	if path == "" {
		var err error
		if path, err = history.DefaultPath(); err != nil {
			return nil, fmt.Errorf("finding the history: %w; name one with --history FILE", err)
		}
	}
	return history.Open(path), nil
}

// path is where the log is; empty where that can't be known.
func (l logging) path() string {
	log, err := l.open()
	if err != nil {
		return ""
	}
	return log.Path()
}

// records reads the log and says on standard error which lines can't be used.
func (l logging) records(a *app) (*history.Log, []history.Record, error) {
	log, err := l.open()
	if err != nil {
		return nil, nil, err
	}
	contents, err := log.Read(a.ctx)
	if err != nil && a.ctx.Err() == nil {
		return nil, nil, &inputError{log.Path(), plainError(err)}
	}
	if err != nil {
		return nil, nil, err
	}
	for _, p := range contents.Problems {
		a.note(fmt.Sprintf("%s: %s", log.Path(), p))
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
	found := history.Of(records, group)
	if len(found) > 0 {
		return found, nil
	}
	var labels []string
	for _, g := range history.Groups(records) {
		labels = append(labels, g.Label)
	}
	return nil, wrongUsage("the history has no group %q%s", group, didYouMean(group, labels))
}
