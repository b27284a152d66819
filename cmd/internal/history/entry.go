package history

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// The kinds of lines that are no warm-ups.
const (
	kindNote    = "note"
	kindOutcome = "outcome"
	kindRemove  = "remove" // takes warm-ups out of the log
	kindUndo    = "undo"   // takes back the line it names
	kindRedo    = "redo"   // takes back an undo
)

var kinds = []string{kindNote, kindOutcome, kindRemove, kindUndo, kindRedo}

// entry is a line that is no warm-up.
type entry struct {
	Schema string    `json:"schema"`          // SchemaName
	Kind   string    `json:"kind"`            // one of the kinds
	Group  string    `json:"group"`           // label
	Date   time.Time `json:"date"`            // that it is about; of undo, redo and remove when it was done
	Text   string    `json:"text,omitempty"`  // of a note
	Of     []string  `json:"of,omitempty"`    // keys of the lines that a remove, undo or redo is about
	Heard  string    `json:"heard,omitempty"` // "got", "partly" or "lost": how an opener went
	Opener
}

// Note is what a leader wrote down about a group.
type Note struct {
	Group string    `json:"group"`
	Date  time.Time `json:"date"`
	Text  string    `json:"text"`
}

// Outcome is how an opener went, as the leader saw it.
type Outcome struct {
	Group string    `json:"group"`
	Date  time.Time `json:"date"`  // of the session
	Heard string    `json:"heard"` // "got", "partly" or "lost"
	Opener
}

// Opener is a piece of the repertoire and the chance it was given.
type Opener struct {
	Piece  string   `json:"piece,omitempty"`  // ID
	Part   string   `json:"part,omitempty"`   // where not the core part was meant
	Role   string   `json:"role,omitempty"`   // what it was suggested for; empty where it was not
	Chance *float64 `json:"chance,omitempty"` // as stated, 0 to 1; nil where none was
	// before it was adjusted by earlier outcomes; nil: as stated
	Raw *float64 `json:"raw_chance,omitempty"`
}

const maxNote = 2000 // characters of a note

// keyOf is what other lines call a line by.
func keyOf(line []byte) string {
	sum := sha256.Sum256(bytes.TrimRight(line, "\n"))
	return hex.EncodeToString(sum[:8])
}

func (e *entry) problem() string {
	if problem := aboutProblem("line", e.Group, e.Date); problem != "" {
		return problem
	}
	switch e.Kind {
	case kindNote:
		if strings.TrimSpace(e.Text) == "" {
			return "the note is empty"
		}
		if utf8.RuneCountInString(e.Text) > maxNote {
			return fmt.Sprintf("the note has more than %d characters; write a shorter one", maxNote)
		}
		return ""
	case kindOutcome:
		return cmp.Or(heardProblem(e.Heard), e.Opener.problem())
	}
	if len(e.Of) == 0 || len(e.Of) > maxRounds {
		return "it does not say which lines it is about"
	}
	return ""
}

func (o *Opener) problem() string {
	for _, chance := range []*float64{o.Chance, o.Raw} {
		if chance != nil && !inUnit(*chance) {
			return fmt.Sprintf("a chance of %g; give a number from 0 to 1", *chance)
		}
	}
	if len(o.Piece) > maxText || len(o.Part) > maxText || len(o.Role) > maxText {
		return "the name of a piece is too long"
	}
	return ""
}

// Encode returns the entry as a line, with its line break.
func (e entry) Encode() ([]byte, error) {
	e.Schema, e.Group, e.Date = SchemaName, CleanLabel(e.Group), wholeSeconds(e.Date)
	if problem := e.problem(); problem != "" {
		return nil, &RecordError{Message: problem}
	}
	return encodeLine(e)
}

// wholeSeconds is a date as a line can hold it.
func wholeSeconds(date time.Time) time.Time {
	date = date.Truncate(time.Second)
	if _, offset := date.Zone(); offset%60 != 0 {
		date = date.UTC() // RFC 3339 can't write such a zone
	}
	return date
}

// encodeLine writes a value as one line, with its line break.
func encodeLine(value any) ([]byte, error) {
	var line bytes.Buffer
	encoder := json.NewEncoder(&line)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		return nil, fmt.Errorf("writing a record: %w", err)
	}
	if line.Len() > maxLine {
		return nil, &RecordError{Message: fmt.Sprintf("the record takes %d bytes; at most %d can "+
			"be kept", line.Len(), maxLine)}
	}
	return line.Bytes(), nil
}
