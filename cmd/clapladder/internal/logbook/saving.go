package logbook

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// Saving is the part of the command line that ties a report to the log.
type Saving struct {
	Save   *string `placeholder:"GROUP" offer:"group" help:"${saving_save}"`
	Known  *string `placeholder:"GROUP" offer:"group" help:"${saving_known}"`
	Date   string  `placeholder:"DATE" help:"${saving_date}"`
	Anyway bool    `help:"${saving_anyway}"`
	Log
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

// Source is what a report was made from.
type Source struct {
	Path string    // empty where it was no file
	At   time.Time // when the file was last changed; zero where that says nothing
	Sum  string    // of its bytes; empty where nobody asked
}

// earliest is before any phone recorded; clocks that were never set say less.
var earliest = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// When is the date of the warm-up, and in words where that is from; empty where the command line
// says it.
func (s *Saving) When(from Source) (at time.Time, origin string, err error) {
	switch {
	case s.Date != "":
		at, err = ParseDate("--date", s.Date)
		return at, "", err
	case from.At.After(earliest):
		return from.At, "when the recording was last changed", nil
	}
	return time.Now(), "now", nil
}

// ParseDate reads a date of the command line.
func ParseDate(flag, text string) (time.Time, error) {
	for _, layout := range []string{time.DateOnly, "2006-01-02T15:04", "2006-01-02 15:04", time.RFC3339} {
		if at, err := time.ParseInLocation(layout, text, time.Local); err == nil {
			if layout == time.DateOnly {
				at = at.Add(12 * time.Hour) // some time that day, in every time zone nearby
			}
			return at, nil
		}
	}
	return time.Time{}, fault.Usage("%s is %q; write it like 2025-03-04 or 2025-03-04T12:30", flag, text)
}

// Check refuses what does not go together.
func (s *Saving) Check() error {
	if s.Save == nil && s.Known == nil && (s.Date != "" || s.History != "" || s.Anyway) {
		return fault.Usage("--date, --history and --anyway belong to --save GROUP or --known GROUP")
	}
	if err := cmp.Or(checkLabel("--save", s.Save), checkLabel("--known", s.Known)); err != nil {
		return err
	}
	at, _, err := s.When(Source{})
	if err == nil {
		err = s.checkAhead(at)
	}
	return err
}

// checkLabel refuses a group without a label; nil is no group.
func checkLabel(flag string, group *string) error {
	if group != nil && history.CleanLabel(*group) == "" {
		return fault.Usage("%s needs the label of a group, such as 'lunch hour'", flag)
	}
	return nil
}

// checkAhead refuses a date that has not come yet. Clocks and time zones may be some hours apart.
func (s *Saving) checkAhead(at time.Time) error {
	if s.Save == nil || s.Anyway || !at.After(time.Now().Add(14*time.Hour)) {
		return nil
	}
	return fault.Usage("%s has not come yet; write another --date, or add --anyway",
		at.Format("2 January 2006"))
}

// Known is what the history says before a warm-up.
type Known struct {
	Prior *ability.Prior // nil where nothing is known
	words string         // for the report
}

// knownOf asks the history about a group; at is the date of the warm-up that is to come.
func (l *Log) knownOf(con *console.Console, group string, bank *bank.Bank, at time.Time) (Known, error) {
	_, contents, err := l.Contents(con)
	if err != nil {
		return Known{}, err
	}
	records, err := OfGroup(contents.Records, group)
	if err != nil {
		return Known{}, err
	}
	point, prior, ok, err := history.Known(records, group,
		history.NewScale(difficulty.DefaultModel(), bank), at)
	if err != nil {
		return Known{}, fmt.Errorf("estimating from the history: %w", err)
	}
	if !ok {
		con.Note(fmt.Sprintf("the history has too few rounds of %q to begin from", group))
		return Known{}, nil
	}
	words := fmt.Sprintf("level %s on %s, give or take %s by now", console.Decimal(point.Level, 1),
		point.Date.Format("2 January 2006"), console.Decimal(prior.LevelSD, 1))
	return Known{&prior, words}, nil
}

// Prior is what the history knows of the group that was asked for.
func (s *Saving) Prior(con *console.Console, bank *bank.Bank, from Source) (Known, error) {
	if s.Known == nil {
		return Known{}, nil
	}
	at, _, err := s.When(from)
	if err != nil {
		return Known{}, err
	}
	return s.knownOf(con, *s.Known, bank, at)
}

// Mention says in the report that it began from the history.
func (k Known) Mention(report *assess.Report, group *string) {
	if k.Prior == nil {
		return
	}
	report.Warnings = append(report.Warnings, assess.Warning{
		Code: "known-group",
		Text: fmt.Sprintf("The estimate begins from what the history knows of %q: %s. Without "+
			"--known it rests on this warm-up alone.", *group, k.words),
	})
}

// Details is what else goes into the log with a report.
type Details struct {
	People int
	Bank   *bank.Bank
	Name   string // of the bank
	From   Source
	Known  bool                  // the report began from the history
	Raw    func(float64) float64 // undoes the adjustment of chances; nil where there was none
}

// Append adds a report to the log where that is asked for.
func (s *Saving) Append(con *console.Console, report *assess.Report, what Details) error {
	if s.Save == nil {
		return nil
	}
	at, origin, err := s.When(what.From)
	if err != nil {
		return err
	}
	if err := s.checkAhead(at); err != nil {
		return err
	}
	log, contents, err := s.Contents(con)
	if err != nil {
		return err
	}
	record := history.FromReport(report, history.About{
		Group: *s.Save, Date: at, People: what.People, Bank: history.BankName(what.Name, what.Bank),
		Recording: what.From.Sum, Raw: what.Raw, Known: what.Known,
	})
	if err := s.checkTwice(contents.Records, record); err != nil {
		return err
	}
	if err := history.NewScale(difficulty.DefaultModel(), what.Bank).Keep(&record); err != nil {
		return fmt.Errorf("estimating for the history: %w", err)
	}
	if why, looks := history.LooksLikeName(*s.Save); looks {
		con.Note(why)
	}
	if err := log.Append(con.Ctx, record); err != nil {
		return FileError(log, err)
	}
	date := at.Format("2 January 2006, 15:04")
	if origin != "" {
		date += " (" + origin + "; --date says otherwise)"
	}
	con.Note(fmt.Sprintf("saved as %q, %s, in %s; clapladder history undo takes it back",
		history.CleanLabel(*s.Save), date, log.Path()))
	return nil
}

// checkTwice refuses what is in the log already: the same recording, or on one day the same rounds
// of one group.
func (s *Saving) checkTwice(records []history.Record, fresh history.Record) error {
	if s.Anyway {
		return nil
	}
	for _, r := range records {
		sameFile := fresh.Recording != "" && r.Recording == fresh.Recording
		sameDay := history.SameGroup(r.Group, fresh.Group) && Day(r.Date) == Day(fresh.Date) &&
			fresh.Recording == "" && sameRounds(r.Rounds, fresh.Rounds)
		if sameFile || sameDay {
			return &TwiceError{r.Group, r.Date}
		}
	}
	return nil
}

// TwiceError is a warm-up that the log holds already.
type TwiceError struct {
	group string
	date  time.Time
}

func (e *TwiceError) Short() string {
	return fmt.Sprintf("in the history already, as %q on %s", e.group, e.date.Format("2 January 2006"))
}

func (e *TwiceError) Error() string {
	return "this warm-up is " + e.Short() + "; to save it once more add --anyway"
}

// ExitStatus says that the command line asks for what is done already.
func (e *TwiceError) ExitStatus() int { return fault.ExitUsage }

func Day(at time.Time) string { return at.Local().Format(time.DateOnly) }

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
