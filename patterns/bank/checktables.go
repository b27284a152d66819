package bank

import (
	"cmp"
	"fmt"
	"strings"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// document says what tables one kind of file has.
type document struct {
	noun    string   // "bank"
	tables  []string // its tables, the one to advise first
	foreign []string // tables of the other kind of file
	instead string   // what a file with those is
}

var (
	bankDocument = document{
		"bank",
		[]string{"phrase"},
		[]string{"piece", "piece.part"},
		"a repertoire of pieces",
	}
	repertoireDocument = document{
		"repertoire",
		[]string{"piece", "piece.part"},
		[]string{"phrase"},
		"a bank of phrases",
	}
)

// header finds which table of the document a header stands for, and notes where it is not written
// so. name is empty where it stands for none.
func (c *checker) header(t *textfile.Table, d document) (name string) {
	name = d.meant(t.Name)
	written := "[[" + textfile.Short(t.Name) + "]]"
	if !t.Many {
		written = "[" + textfile.Short(t.Name) + "]"
	}
	switch {
	case name == "":
		c.source.Fail(t.At, "a "+d.noun+" has no table "+written,
			"write [["+d.tables[0]+"]], or take it out with all below it")
	case name != t.Name:
		c.source.Fail(t.At, "a "+d.noun+" has no table "+written, "write [["+name+"]]")
	case !t.Many:
		c.source.Fail(t.At, written+" is a single table, a "+d.noun+" has many",
			"write [["+name+"]]")
	}
	return name
}

func (d document) meant(name string) string {
	lower := strings.ToLower(name)
	for _, known := range d.tables {
		if lower == known {
			return known
		}
	}
	if len(d.tables) > 1 && (lower == "part" || lower == "parts") {
		return d.tables[1]
	}
	if word, ok := vocabulary.Nearest(lower, d.tables); ok {
		return word
	}
	return ""
}

// belongsElsewhere notes that the file is of the other kind.
func (c *checker) belongsElsewhere(tables []*textfile.Table, d document) bool {
	for _, t := range tables {
		for _, name := range d.foreign {
			if strings.EqualFold(t.Name, name) && t.Many {
				c.source.Forget()
				c.source.Fail(t.At, "this is "+d.instead+", not a "+d.noun,
					"give it where a file of that kind is asked for")
				return true
			}
		}
	}
	return false
}

// stray notes keys before the first header.
func (c *checker) stray(t *textfile.Table, d document) {
	for _, f := range t.Fields {
		c.source.Fail(f.At, fmt.Sprintf("%q stands before the first header", textfile.Short(f.Key)),
			"write [["+d.tables[0]+"]] on a line above it, or take it out")
	}
}

// bank checks the tables of a bank, at most most phrases.
func (c *checker) bank(tables []*textfile.Table, limits Loader) *Bank {
	b := &Bank{}
	if c.belongsElsewhere(tables, bankDocument) {
		return b
	}
	taken := map[string]int{}
	count := 0
	for _, t := range tables {
		if t.Name == "" && !t.Many {
			c.stray(t, bankDocument)
			continue
		}
		if c.header(t, bankDocument) == "" {
			continue
		}
		if count++; count > limits.entries() {
			c.source.Fail(t.At, fmt.Sprintf("more than %d phrases", limits.entries()),
				limits.instead("split the bank into several files"))
			break
		}
		b.Entries = append(b.Entries, c.entry(t, taken))
	}
	if count == 0 && c.source.Clean() {
		c.source.FailWhole("the bank has no phrase",
			`write at least one [[phrase]] with id, meter and rhythm`)
	}
	return b
}

func (c *checker) entry(t *textfile.Table, taken map[string]int) Entry {
	if !c.cells {
		c.keys(t, "phrase", vocabulary.PhraseKeys)
	}
	c.require(t, "phrase", "id", "meter", "rhythm")
	e := Entry{
		ID:           c.id(t, "phrase", taken),
		Name:         c.line(t, "name", maxName, false),
		Tier:         int(c.number(t, "tier", 1, tierscale.Highest, true)),
		Difficulty:   c.number(t, "difficulty", tierscale.Min, tierscale.Max, false),
		DifficultySD: c.number(t, "difficulty_sd", minSD, maxSD, false),
		LearnedFrom:  int(c.number(t, "learned_from", 1, maxGroups, true)),
		Tags:         c.tags(t),
		Notes:        c.line(t, "notes", maxNotes, true),
	}
	e.Phrase = c.rhythm(t, c.meter(t), c.tempo(t, rhythm.DefaultTempo))
	e.Line = c.source.LineAt(t.At)
	e.Name = cmp.Or(e.Name, e.ID)
	return e
}

// repertoire checks the tables of a repertoire, at most most parts.
func (c *checker) repertoire(tables []*textfile.Table, limits Loader) *Repertoire {
	r := &Repertoire{}
	if c.belongsElsewhere(tables, repertoireDocument) {
		return r
	}
	taken := map[string]int{}
	var piece *textfile.Table
	var parts []*textfile.Table
	count := 0
	finish := func() {
		if piece != nil {
			r.Pieces = append(r.Pieces, c.piece(piece, parts, taken))
		}
		parts = nil
	}
	for _, t := range tables {
		if t.Name == "" && !t.Many {
			c.stray(t, repertoireDocument)
			continue
		}
		switch c.header(t, repertoireDocument) {
		case "piece":
			finish()
			piece = t
		case "piece.part":
			if piece == nil {
				c.source.Fail(t.At, "a part before the first piece",
					"write [[piece]] with id, meter and name above it")
				continue
			}
			if count++; count > limits.entries() {
				c.source.Fail(t.At, fmt.Sprintf("more than %d parts", limits.entries()),
					limits.instead("split the repertoire into several files"))
				finish()
				return r
			}
			parts = append(parts, t)
		}
	}
	finish()
	if len(r.Pieces) == 0 && c.source.Clean() {
		c.source.FailWhole("the repertoire has no piece", "write at least one [[piece]] with id and "+
			"meter, and below it a [[piece.part]] with a rhythm")
	}
	return r
}

func (c *checker) piece(t *textfile.Table, parts []*textfile.Table, taken map[string]int) Piece {
	if !c.cells {
		c.keys(t, "piece", vocabulary.PieceKeys)
	}
	c.require(t, "piece", "id")
	p := Piece{
		ID:    c.id(t, "piece", taken),
		Name:  c.line(t, "name", maxName, false),
		Notes: c.line(t, "notes", maxNotes, true),
		Tier:  int(c.number(t, "tier", 1, tierscale.Highest, true)),
		Tags:  c.tags(t),
	}
	p.Line = c.source.LineAt(t.At)
	p.Name = cmp.Or(p.Name, p.ID)
	meter := c.meter(t)
	tempo := c.tempo(t, rhythm.DefaultTempo)
	core, missing := false, false
	for _, part := range parts {
		made := c.part(part, meter, tempo)
		if _, own := part.Field("meter"); !own && meter.IsZero() {
			missing = true
		}
		core = core || made.Role == Core
		p.Parts = append(p.Parts, made)
	}
	switch {
	case len(parts) == 0:
		c.require(t, "piece", "meter")
		c.source.Fail(t.At, "the piece has no part", "write [[piece.part]] with a rhythm below it")
	case missing:
		c.require(t, "piece", "meter")
	}
	if len(parts) > 0 && !core {
		c.source.Fail(t.At, "the piece has no core part",
			`write role = "core" for the part that most people play`)
	}
	return p
}

func (c *checker) part(t *textfile.Table, meter rhythm.Meter, tempo float64) Part {
	if !c.cells {
		c.keys(t, "part", vocabulary.PartKeys)
	}
	c.require(t, "part", "rhythm")
	part := Part{Name: c.line(t, "name", maxName, false), Role: Core}
	part.Line = c.source.LineAt(t.At)
	if v, ok := c.text(t, "role"); ok {
		if role, ok := roleOf(strings.ToLower(strings.TrimSpace(v.Text))); ok {
			part.Role = role
		} else {
			c.source.Fail(v.Start, fmt.Sprintf("%q is not a role", textfile.Short(v.Text)),
				`write "core", "support" or "lead"`)
		}
	}
	part.Name = cmp.Or(part.Name, string(part.Role))
	if own := c.meter(t); !own.IsZero() || t.Lost["meter"] {
		meter = own
	}
	part.Phrase = c.rhythm(t, meter, c.tempo(t, tempo))
	return part
}
