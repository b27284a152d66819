package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// saving is the part of the command line that ties a report to the log.
type saving struct {
	Save   *string `placeholder:"GROUP" offer:"group" help:"${saving_save}"`
	Known  *string `placeholder:"GROUP" offer:"group" help:"${saving_known}"`
	Date   string  `placeholder:"DATE" help:"${saving_date}"`
	Anyway bool    `help:"${saving_anyway}"`
	logging
}

var savingHelp = helptext.Texts{
	"saving_save": "Add the result to the history of this group. A label for the group, not a " +
		"person's name.",
	"saving_known": "Begin from what the history knows of this group; older results count less.",
	"saving_date": "When the warm-up was, such as 2025-03-04 or 2025-03-04T12:30. Default: when " +
		"the recording was last changed; without a file, now.",
	"saving_anyway": "Save even where the same warm-up is in the history already, or where its " +
		"date lies ahead.",
}

// source is what a report was made from.
type source struct {
	path string    // empty where it was no file
	at   time.Time // when the file was last changed; zero where that says nothing
	sum  string    // of its bytes; empty where nobody asked
}

// earliest is before any phone recorded; clocks that were never set say less.
var earliest = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// when is the date of the warm-up, and in words where that is from; empty where the command line
// says it.
func (s saving) when(from source) (at time.Time, origin string, err error) {
	switch {
	case s.Date != "":
		at, err = parseDate("--date", s.Date)
		return at, "", err
	case from.at.After(earliest):
		return from.at, "when the recording was last changed", nil
	}
	return time.Now(), "now", nil
}

// parseDate reads a date of the command line.
func parseDate(flag, text string) (time.Time, error) {
	for _, layout := range []string{time.DateOnly, "2006-01-02T15:04", "2006-01-02 15:04", time.RFC3339} {
		if at, err := time.ParseInLocation(layout, text, time.Local); err == nil {
			if layout == time.DateOnly {
				at = at.Add(12 * time.Hour) // some time that day, in every time zone nearby
			}
			return at, nil
		}
	}
	return time.Time{}, wrongUsage("%s is %q; write it like 2025-03-04 or 2025-03-04T12:30", flag, text)
}

func (s saving) check() error {
	if s.Save == nil && s.Known == nil && (s.Date != "" || s.History != "" || s.Anyway) {
		return wrongUsage("--date, --history and --anyway belong to --save GROUP or --known GROUP")
	}
	for flag, group := range map[string]*string{"--save": s.Save, "--known": s.Known} {
		if group != nil && history.CleanLabel(*group) == "" {
			return wrongUsage("%s needs the label of a group, such as 'lunch hour'", flag)
		}
	}
	at, _, err := s.when(source{})
	if err == nil {
		err = s.checkAhead(at)
	}
	return err
}

// checkAhead refuses a date that has not come yet. Clocks and time zones may be some hours apart.
func (s saving) checkAhead(at time.Time) error {
	if s.Save == nil || s.Anyway || !at.After(time.Now().Add(14*time.Hour)) {
		return nil
	}
	return wrongUsage("%s has not come yet; write another --date, or add --anyway",
		at.Format("2 January 2006"))
}

// known is what the history says before a warm-up.
type known struct {
	prior *ability.Prior // nil where nothing is known
	words string         // for the report
}

// knownOf asks the history about a group; at is the date of the warm-up that is to come.
func (l logging) knownOf(a *app, group string, bank *bank.Bank, at time.Time) (known, error) {
	_, contents, err := l.contents(a)
	if err != nil {
		return known{}, err
	}
	records, err := ofGroup(contents.Records, group)
	if err != nil {
		return known{}, err
	}
	point, prior, ok, err := history.Known(records, group,
		history.NewScale(difficulty.DefaultModel(), bank), at)
	if err != nil {
		return known{}, fmt.Errorf("estimating from the history: %w", err)
	}
	if !ok {
		a.note(fmt.Sprintf("the history has too few rounds of %q to begin from", group))
		return known{}, nil
	}
	return known{&prior, fmt.Sprintf("level %s on %s, give or take %s by now",
		decimal(point.Level, 1), point.Date.Format("2 January 2006"), decimal(prior.LevelSD, 1))}, nil
}

// prior is what the history knows of the group that was asked for.
func (s saving) prior(a *app, bank *bank.Bank, from source) (known, error) {
	if s.Known == nil {
		return known{}, nil
	}
	at, _, err := s.when(from)
	if err != nil {
		return known{}, err
	}
	return s.knownOf(a, *s.Known, bank, at)
}

// mention says in the report that it began from the history.
func (k known) mention(report *assess.Report, group *string) {
	if k.prior == nil {
		return
	}
	report.Warnings = append(report.Warnings, assess.Warning{
		Code: "known-group",
		Text: fmt.Sprintf("The estimate begins from what the history knows of %q: %s. Without "+
			"--known it rests on this warm-up alone.", *group, k.words),
	})
}

// saved is what else goes into the log with a report.
type saved struct {
	people int
	bank   *bank.Bank
	name   string // of the bank
	from   source
	known  bool // the report began from the history
	raw    func(float64) float64
}

// append adds a report to the log where that is asked for.
func (s saving) append(a *app, report *assess.Report, what saved) error {
	if s.Save == nil {
		return nil
	}
	at, origin, err := s.when(what.from)
	if err != nil {
		return err
	}
	if err := s.checkAhead(at); err != nil {
		return err
	}
	log, contents, err := s.contents(a)
	if err != nil {
		return err
	}
	record := history.FromReport(report, history.About{
		Group: *s.Save, Date: at, People: what.people, Bank: history.BankName(what.name, what.bank),
		Recording: what.from.sum, Raw: what.raw, Known: what.known,
	})
	if err := s.checkTwice(contents.Records, record); err != nil {
		return err
	}
	if err := history.NewScale(difficulty.DefaultModel(), what.bank).Keep(&record); err != nil {
		return fmt.Errorf("estimating for the history: %w", err)
	}
	if why, looks := history.LooksLikeName(*s.Save); looks {
		a.note(why)
	}
	if err := log.Append(a.ctx, record); err != nil {
		return historyError(log, err)
	}
	date := at.Format("2 January 2006, 15:04")
	if origin != "" {
		date += " (" + origin + "; --date says otherwise)"
	}
	a.note(fmt.Sprintf("saved as %q, %s, in %s; clapladder history undo takes it back",
		history.CleanLabel(*s.Save), date, log.Path()))
	return nil
}

// checkTwice refuses what is in the log already: the same recording, or on one day the same rounds
// of one group.
func (s saving) checkTwice(records []history.Record, fresh history.Record) error {
	if s.Anyway {
		return nil
	}
	for _, r := range records {
		sameFile := fresh.Recording != "" && r.Recording == fresh.Recording
		sameDay := history.SameGroup(r.Group, fresh.Group) && day(r.Date) == day(fresh.Date) &&
			fresh.Recording == "" && sameRounds(r.Rounds, fresh.Rounds)
		if sameFile || sameDay {
			return &savedTwiceError{r.Group, r.Date}
		}
	}
	return nil
}

// savedTwiceError is a warm-up that the log holds already.
type savedTwiceError struct {
	group string
	date  time.Time
}

func (e *savedTwiceError) short() string {
	return fmt.Sprintf("in the history already, as %q on %s", e.group, e.date.Format("2 January 2006"))
}

func (e *savedTwiceError) Error() string {
	return "this warm-up is " + e.short() + "; to save it once more add --anyway"
}

func day(at time.Time) string { return at.Local().Format(time.DateOnly) }

func sameRounds(x, y []history.Round) bool {
	return len(x) > 0 && slices.EqualFunc(x, y, func(x, y history.Round) bool {
		share := func(r history.Round) float64 {
			if r.Share == nil {
				return math.Inf(-1)
			}
			return *r.Share
		}
		return x.Notation == y.Notation && x.Heard == y.Heard && share(x) == share(y)
	})
}

// bankName is what people call a bank: the file as it was given, or that it is the starter bank.
func bankName(path string) string { return cmp.Or(strings.TrimSpace(displayName(path)), starter) }
