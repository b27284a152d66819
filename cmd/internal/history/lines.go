package history

import (
	"slices"
	"time"
)

// line is one line of a log with what it holds.
type line struct {
	key    string
	record *Record // nil for an entry
	entry  entry   // of no meaning for a record
	undone bool    // taken back
	gone   bool    // a warm-up that was removed
}

func (l *line) kind() string {
	if l.record != nil {
		return ""
	}
	return l.entry.Kind
}

func (l *line) group() string {
	if l.record != nil {
		return l.record.Group
	}
	return l.entry.Group
}

// lineLog is everything that could be read, in order.
type lineLog struct {
	lines []line
	byKey map[string][]int // places of lines with a key, in order; two lines that read the same have one key
}

func (l *lineLog) add(x line) {
	if l.byKey == nil {
		l.byKey = map[string][]int{}
	}
	l.byKey[x.key] = append(l.byKey[x.key], len(l.lines))
	l.lines = append(l.lines, x)
	if x.record != nil {
		return
	}
	switch x.entry.Kind {
	case kindUndo:
		l.eachOf(x.entry.Of, func(y *line) bool {
			return !y.undone && y.kind() != kindUndo &&
				y.kind() != kindRedo
		}, func(y *line) { y.undone = true })
	case kindRedo:
		l.eachOf(x.entry.Of, func(y *line) bool { return y.undone }, func(y *line) { y.undone = false })
	}
}

// eachOf does something to the last line of each key that passes.
func (l *lineLog) eachOf(keys []string, passes func(*line) bool, do func(*line)) {
	for _, key := range keys {
		for _, i := range slices.Backward(l.byKey[key]) {
			if passes(&l.lines[i]) {
				do(&l.lines[i])
				break
			}
		}
	}
}

// settle marks the warm-ups that were removed.
func (l *lineLog) settle() {
	for i := range l.lines {
		if x := &l.lines[i]; x.kind() == kindRemove && !x.undone {
			l.eachOf(x.entry.Of, func(y *line) bool {
				return y.record != nil && !y.undone &&
					!y.gone
			}, func(y *line) { y.gone = true })
		}
	}
}

// contents is what is in force.
func (l *lineLog) contents() *Contents {
	l.settle()
	c := &Contents{}
	for i := range l.lines {
		x := &l.lines[i]
		switch {
		case x.undone || x.gone:
		case x.record != nil:
			x.record.key = x.key
			c.Records = append(c.Records, *x.record)
		case x.entry.Kind == kindNote:
			c.Notes = append(c.Notes, Note{x.entry.Group, x.entry.Date, x.entry.Text})
		case x.entry.Kind == kindOutcome:
			c.Outcomes = append(c.Outcomes, Outcome{
				x.entry.Group, x.entry.Date, x.entry.Heard,
				x.entry.Opener,
			})
		}
	}
	return c
}

// Change is something that was done to a log.
type Change struct {
	Kind    string    // "warm-up", "note", "outcome" or "remove"
	Group   string    // label
	Date    time.Time // of the warm-up, note or outcome; of a remove when it was done
	WarmUps int       // that a remove took out
}

func (l *line) change() Change {
	if l.record != nil {
		return Change{Kind: "warm-up", Group: l.record.Group, Date: l.record.Date}
	}
	return Change{Kind: l.entry.Kind, Group: l.entry.Group, Date: l.entry.Date, WarmUps: len(l.entry.Of)}
}

// last is the latest line that can be taken back.
func (l *lineLog) last() (*line, bool) {
	for i := range slices.Backward(l.lines) {
		x := &l.lines[i]
		if kind := x.kind(); !x.undone && kind != kindUndo && kind != kindRedo {
			return x, true
		}
	}
	return nil, false
}

// lastUndone is the line that the latest undo took back and that still is.
func (l *lineLog) lastUndone() (*line, bool) {
	for i := range slices.Backward(l.lines) {
		x := &l.lines[i]
		if x.kind() != kindUndo {
			continue
		}
		for _, key := range x.entry.Of {
			for _, at := range slices.Backward(l.byKey[key]) {
				if l.lines[at].undone {
					return &l.lines[at], true
				}
			}
		}
	}
	return nil, false
}
