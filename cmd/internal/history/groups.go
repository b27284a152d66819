package history

import (
	"time"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns/bank"
)

// Group sums up what a log holds of one group.
type Group struct {
	Label       string    // as last written
	WarmUps     int       // number of records
	First, Last time.Time // dates of the earliest and the latest record
}

// Groups lists the groups of records in the order in which they first appear.
func Groups(records []Record) []Group {
	var groups []Group
next:
	for _, r := range records {
		for i := range groups {
			g := &groups[i]
			if !SameGroup(g.Label, r.Group) {
				continue
			}
			g.Label = r.Group
			g.WarmUps++
			if r.Date.Before(g.First) {
				g.First = r.Date
			}
			if r.Date.After(g.Last) {
				g.Last = r.Date
			}
			continue next
		}
		groups = append(groups, Group{Label: r.Group, WarmUps: 1, First: r.Date, Last: r.Date})
	}
	return groups
}

// Of returns the records of one group, in their order.
func Of(records []Record, group string) []Record {
	var out []Record
	for _, r := range records {
		if SameGroup(r.Group, group) {
			out = append(out, r)
		}
	}
	return out
}

// Outcomes turns records into what patterns.Learn takes: one row for the first try
// at each phrase of the bank in each warm-up. A group counts as another one at each
// date, since its level moves. Phrases that are not in the bank, or were another
// rhythm when they were called, are left out.
func Outcomes(records []Record, called *bank.Bank) []bank.Outcome {
	known := NewScale(nil, called)
	var out []bank.Outcome
	for _, r := range records {
		for _, round := range r.Rounds {
			phrase, err := round.parse()
			if _, ok := known.find(round, phrase); err != nil || !ok || round.Attempt > 1 {
				continue
			}
			o := bank.Outcome{
				Phrase: *round.Phrase, Group: CleanLabel(r.Group) + " " + r.Date.Format(time.RFC3339),
				People: r.People, SD: round.ShareSD,
			}
			if round.Share != nil {
				o.Share = *round.Share
			} else {
				o.Share, o.SD = ability.ParseVerdict(round.Heard).Share(), ability.DefaultVerdictSD
			}
			out = append(out, o)
		}
	}
	return out
}
