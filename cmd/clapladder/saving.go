package main

import (
	"fmt"
	"time"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/assess/history"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// saving is the part of the command line that ties a report to the log.
type saving struct {
	Save  string `placeholder:"GROUP" offer:"group" help:"Add the result to the history of this group. A label for the group, not a person's name."`
	Known string `placeholder:"GROUP" offer:"group" help:"Begin from what the history knows of this group; older results count less."`
	Date  string `placeholder:"DATE" help:"When the warm-up was, such as 2025-03-04 or 2025-03-04T12:30. Default: now."`
	logging
}

// when reads the date; now where none is given.
func (s saving) when() (time.Time, error) {
	if s.Date == "" {
		return time.Now(), nil
	}
	for _, layout := range []string{"2006-01-02", "2006-01-02T15:04", "2006-01-02 15:04", time.RFC3339} {
		if at, err := time.ParseInLocation(layout, s.Date, time.Local); err == nil {
			if layout == "2006-01-02" {
				at = at.Add(12 * time.Hour) // some time that day, in every time zone nearby
			}
			return at, nil
		}
	}
	return time.Time{}, wrongUsage("--date is %q; write it like 2025-03-04 or 2025-03-04T12:30", s.Date)
}

func (s saving) check() error {
	if s.Save == "" && s.Known == "" && (s.Date != "" || s.History != "") {
		return wrongUsage("--date and --history belong to --save GROUP or --known GROUP")
	}
	_, err := s.when()
	return err
}

// prior is what the history knows of a group; nil where it is not asked.
func (s saving) prior(a *app, bank *bank.Bank) (*ability.Prior, error) {
	if s.Known == "" {
		return nil, nil
	}
	_, records, err := s.records(a)
	if err != nil {
		return nil, err
	}
	if records, err = ofGroup(records, s.Known); err != nil {
		return nil, err
	}
	at, err := s.when()
	if err != nil {
		return nil, err
	}
	trend, err := history.NewTrend(records, s.Known, history.NewScale(difficulty.DefaultModel(), bank))
	if err != nil {
		return nil, fmt.Errorf("estimating from the history: %w", err)
	}
	prior, ok := trend.Prior(at)
	if !ok {
		a.note(fmt.Sprintf("the history has too few rounds of %q to begin from", s.Known))
		return nil, nil
	}
	return &prior, nil
}

// append adds a report to the log where that is asked for.
func (s saving) append(a *app, report *assess.Report, people int) error {
	if s.Save == "" {
		return nil
	}
	at, err := s.when()
	if err != nil {
		return err
	}
	log, err := s.open()
	if err != nil {
		return err
	}
	if why, looks := history.LooksLikeName(s.Save); looks {
		a.note(why)
	}
	if err := log.Append(a.ctx, history.FromReport(report, history.About{Group: s.Save, Date: at, People: people})); err != nil {
		return historyError(log, err)
	}
	a.note(fmt.Sprintf("saved as %q in %s", history.CleanLabel(s.Save), log.Path()))
	return nil
}
