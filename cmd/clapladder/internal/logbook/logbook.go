// Package logbook ties commands to the leader's log of groups, which package history keeps: which log
// is meant, what it knows of a group before a session, and how a report is saved to it.
package logbook

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/cmd/internal/history"
)

// Texts are the help texts that have no room beside their flags.
var Texts = []helptext.Texts{logHelp, savingHelp, beforehandHelp}

// Log is the part of the command line that says which log is meant.
type Log struct {
	History string `placeholder:"FILE" help:"${log_history}"`

	last readOnce
}

var logHelp = helptext.Texts{
	"log_history": "The log of groups. Default: history.jsonl in the folder for your data " +
		"(clapladder manual says where).",
}

// Find finds the log.
func (l *Log) Find(con *console.Console) (*history.Log, error) {
	path := l.History
	if path == "" && con.SettingsErr != nil {
		return nil, con.SettingsErr
	}
	path = cmp.Or(path, con.Settings.Of(settings.History))
	if path == "" {
		var err error
		if path, err = history.DefaultPath(); err != nil {
			return nil, fmt.Errorf("finding the history: %w; name one with --history FILE", err)
		}
	}
	return history.Open(path), nil
}

// Path is where the log is; empty where that can't be known.
func (l *Log) Path(con *console.Console) string {
	log, err := l.Find(con)
	if err != nil {
		return ""
	}
	return log.Path()
}

// Contents reads the log and says on standard error which lines can't be used.
func (l *Log) Contents(con *console.Console) (*history.Log, *history.Contents, error) {
	log, err := l.Find(con)
	if err != nil {
		return nil, nil, err
	}
	contents, err := l.read(con, log)
	if err != nil && con.Ctx.Err() == nil {
		return nil, nil, fault.Input(log.Path(), fault.Plain(err))
	}
	return log, contents, err
}

// WarmUps reads the log and picks the warm-ups of one group.
func (l *Log) WarmUps(con *console.Console, group string) (
	*history.Log, *history.Contents, []history.Record, error,
) {
	log, contents, err := l.Contents(con)
	if err != nil {
		return nil, nil, nil, err
	}
	records, err := OfGroup(contents.Records, group)
	return log, contents, records, err
}

// read reads a log once, and again where it has changed since: a long one takes a moment. What
// it returns is only read.
func (l *Log) read(con *console.Console, log *history.Log) (*history.Contents, error) {
	before := stampOf(log.Path())
	if l.last.contents != nil && l.last.stamp == before && before != (stamp{}) {
		return l.last.contents, nil
	}
	contents, err := log.Read(con.Ctx)
	if err != nil {
		return nil, err
	}
	for _, p := range contents.Problems {
		if text := fmt.Sprintf("%s: %s", log.Path(), p); !l.last.said[text] {
			con.Note(text)
			if l.last.said == nil {
				l.last.said = map[string]bool{}
			}
			l.last.said[text] = true
		}
	}
	l.last.stamp, l.last.contents = before, contents
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

// Records are the warm-ups of the log.
func (l *Log) Records(con *console.Console) (*history.Log, []history.Record, error) {
	log, contents, err := l.Contents(con)
	if err != nil {
		return nil, nil, err
	}
	return log, contents.Records, nil
}

// RecordsOf reads the records of a group, of all groups where it is empty.
func (l *Log) RecordsOf(con *console.Console, group string) ([]history.Record, error) {
	_, records, err := l.Records(con)
	if err != nil || group == "" {
		return records, err
	}
	return OfGroup(records, group)
}

// FileError says which file an error is about, once.
func FileError(log *history.Log, err error) error {
	if record, ok := errors.AsType[*history.RecordError](err); ok {
		return fault.Usage("%v", record)
	}
	if strings.Contains(err.Error(), log.Path()) {
		return err
	}
	return fmt.Errorf("%s: %w", log.Path(), err)
}

// OfGroup returns the records of a group, or says which groups there are.
func OfGroup(records []history.Record, group string) ([]history.Record, error) {
	if history.CleanLabel(group) == "" {
		return nil, fault.Usage("say which group, such as 'lunch hour'")
	}
	if found := history.Of(records, group); len(found) > 0 {
		return found, nil
	}
	return nil, fault.Usage("the history has no group %q; %s", group, groupsAre(records))
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

// Calibration is what earlier outcomes say chances are worth. A log that can't be read stops those
// who save to it, not those who score.
func (l *Log) Calibration(con *console.Console) history.Calibration {
	if l.History == "" && con.SettingsErr != nil {
		return history.Unmoved
	}
	log, err := l.Find(con)
	if err != nil {
		return history.Unmoved
	}
	contents, err := l.read(con, log)
	if err != nil {
		return history.Unmoved
	}
	return history.Recalibrate(contents.Outcomes)
}
