// Package tomltext reads, mends, lays out, changes and writes the TOML of banks and repertoires. It
// knows where each key and value stands, reads on behind mistakes, and says what to write in their
// place.
package tomltext

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"clapladder.example/patterns/internal/textfile"
)

// Read cuts the source into tables in the order of the file; the first stands for what comes before
// any header. Tables in a list in braces come after the table that holds it. A line that can't be
// read is noted as a problem and left out, so that everything else is checked too.
func Read(s *textfile.Source) []*textfile.Table {
	straighten(s)
	r := tomlReader{source: s, tables: []*textfile.Table{{}}, names: map[string]bool{}}
	// comments too, so that every line with something on it is an expression
	parser := unstable.Parser{KeepComments: true}
	for at := 0; at < len(s.Text); {
		next := r.read(&parser, at)
		if parser.Error() == nil || s.Hopeless() {
			break
		}
		at = r.recover(parser.Error(), next)
	}
	return flatten(r.tables)
}

// CheckWhole catches what is wrong between expressions that are each right, such as [[phrase]]
// after phrase = []. It looks only at a file in which nothing else is wrong.
func CheckWhole(s *textfile.Source) {
	if !s.Clean() {
		return
	}
	var document map[string]any
	var decodeError *toml.DecodeError
	if err := toml.Unmarshal(s.Text, &document); errors.As(err, &decodeError) {
		line, column := decodeError.Position()
		line = min(max(line, 1), len(s.Starts))
		s.Fail(min(s.Starts[line-1]+column-1, len(s.Text)),
			"this does not go with what stands above it: "+strings.TrimPrefix(decodeError.Error(),
				"toml: "), "")
	}
}

// maxNames bounds the kinds of table in a file; ours have two.
const maxNames = 100

type tomlReader struct {
	source *textfile.Source
	tables []*textfile.Table
	names  map[string]bool // of tables so far
	parser *unstable.Parser
	base   int // offset of what the parser reads
}

func (r *tomlReader) current() *textfile.Table { return r.tables[len(r.tables)-1] }

// read takes expressions from offset at on, to the end or the first error. It returns the offset of
// the line on which the last expression, the faulty one after an error, begins.
func (r *tomlReader) read(parser *unstable.Parser, at int) int {
	r.parser, r.base = parser, at
	parser.Reset(r.source.Text[at:])
	next := at
	for parser.NextExpression() {
		e := parser.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			name, start, end := r.key(e.Key())
			t := &textfile.Table{
				Name: name,
				Many: e.Kind == unstable.ArrayTable,
				At:   r.bracket(start),
			}
			if r.names[name] = true; len(r.names) > maxNames {
				r.source.Fail(t.At, fmt.Sprintf("more than %d kinds of table", maxNames),
					"take the others out")
			}
			r.tables = append(r.tables, t)
			next = textfile.NextLine(r.source.Text, end)
		case unstable.KeyValue:
			f := r.field(e)
			next = textfile.NextLine(r.source.Text, r.base+int(e.Raw.Offset+e.Raw.Length))
			r.add(r.current(), f)
		case unstable.Comment:
			next = textfile.NextLine(r.source.Text, r.base+int(e.Raw.Offset+e.Raw.Length))
		}
	}
	for next < len(r.source.Text) { // empty lines before the faulty one
		kind, end := lex(r.source.Text, next)
		if kind != lexSpace && kind != lexNewline {
			break
		}
		next = end
	}
	return next
}

// bracket is the offset of the first bracket of the header whose name begins at offset at.
func (r *tomlReader) bracket(at int) int {
	line := r.source.StartOfLine(at)
	if i := bytes.IndexByte(r.source.Text[line:at], '['); i >= 0 {
		return line + i
	}
	return at
}

// maxKeyParts bounds dotted keys; ours have two.
const maxKeyParts = 8

// key joins the parts of a key and says where it begins and ends.
func (r *tomlReader) key(parts unstable.Iterator) (name string, start, end int) {
	var names []string
	count := 0
	for ; parts.Next(); count++ {
		n := parts.Node()
		if count == 0 {
			start = r.base + int(n.Raw.Offset)
		}
		if count < maxKeyParts {
			names = append(names, string(n.Data))
		}
		end = r.base + int(n.Raw.Offset+n.Raw.Length)
	}
	if count > maxKeyParts {
		r.source.Fail(start, fmt.Sprintf("a key of %d parts", count), "take it out")
	}
	return strings.Join(names, "."), start, end
}

func (r *tomlReader) field(e *unstable.Node) textfile.Field {
	name, start, end := r.key(e.Key())
	f := textfile.Field{Key: name, At: start}
	at := end // of the value: after white space and "="
	for at < len(r.source.Text) && bytes.IndexByte([]byte(" \t="), r.source.Text[at]) >= 0 {
		at++
	}
	f.Value = r.value(e.Value(), at)
	return f
}

// value reads a value; at is where it begins, for those that don't know.
func (r *tomlReader) value(n *unstable.Node, at int) textfile.Value {
	v := textfile.Value{Start: at, End: at + 1}
	if n.Raw.Length > 0 {
		v.Start = r.base + int(n.Raw.Offset)
		v.End = v.Start + int(n.Raw.Length)
	}
	switch n.Kind {
	case unstable.String:
		v.Text = string(n.Data)
	case unstable.Integer:
		v.Kind, v.Text = textfile.Whole, string(n.Data)
	case unstable.Float:
		v.Kind, v.Text = textfile.Decimal, string(n.Data)
	case unstable.Bool:
		v.Kind, v.Text = textfile.Bool, string(n.Data)
	case unstable.Array:
		v.Kind = textfile.List
		for children := n.Children(); children.Next(); {
			if child := children.Node(); child.Kind != unstable.Comment {
				v.List = append(v.List, r.value(child, v.Start))
			}
		}
	case unstable.InlineTable:
		v.Kind = textfile.Nested
		v.Table = &textfile.Table{At: v.Start}
		for children := n.Children(); children.Next(); {
			if child := children.Node(); child.Kind != unstable.Comment {
				r.add(v.Table, r.field(child))
			}
		}
	default:
		v.Kind, v.Text = textfile.Date, string(n.Data)
	}
	return v
}

// maxFields bounds the keys of a table; ours have ten.
const maxFields = 100

// add puts a field into a table.
func (r *tomlReader) add(t *textfile.Table, f textfile.Field) {
	if first, ok := t.Field(f.Key); ok {
		r.source.Fail(f.At, fmt.Sprintf("%s is given twice, first on line %d", f.Key,
			r.source.LineAt(first.At)), "take one of them out")
		return
	}
	if len(t.Fields) == maxFields {
		r.source.Fail(f.At, fmt.Sprintf("more than %d keys", maxFields), "take the others out")
		return
	}
	t.Fields = append(t.Fields, f)
}

// flatten puts tables written as a list in braces, as in phrase = [{…}], after the table that holds
// them, as if each had a header of its own.
func flatten(tables []*textfile.Table) []*textfile.Table {
	flat := make([]*textfile.Table, 0, len(tables))
	for _, t := range tables {
		flat = append(flat, t)
		kept := t.Fields[:0]
		for _, f := range t.Fields {
			inner := tablesOf(f.Value)
			if inner == nil {
				kept = append(kept, f)
				continue
			}
			for _, each := range inner {
				each.Name, each.Many = f.Key, true
				if t.Name != "" {
					each.Name = t.Name + "." + f.Key
				}
			}
			flat = append(flat, flatten(inner)...)
		}
		if len(kept) < len(t.Fields) {
			t.Fields = kept
		}
	}
	return flat
}

// tablesOf is the tables of a list that holds nothing else, nil for other values.
func tablesOf(v textfile.Value) []*textfile.Table {
	if v.Kind != textfile.List || len(v.List) == 0 || v.List[0].Kind != textfile.Nested {
		return nil
	}
	tables := make([]*textfile.Table, 0, len(v.List))
	for _, element := range v.List {
		if element.Kind != textfile.Nested {
			return nil
		}
		tables = append(tables, element.Table)
	}
	return tables
}

// recover notes the error in the expression that begins at start, and returns the offset at which
// to go on.
func (r *tomlReader) recover(err error, start int) int {
	s := r.source
	at, message := start, err.Error()
	var parseError *unstable.ParserError
	if errors.As(err, &parseError) {
		at = r.base + int(r.parser.Range(parseError.Highlight).Offset)
	}
	next := r.resume(start, at)
	d := diagnose(s, start, at, next, message)
	s.Fail(d.at, d.message, d.advice)
	if d.header != "" {
		r.tables = append(r.tables, &textfile.Table{Name: d.header, Many: true, At: start})
	}
	if d.key != "" {
		r.current().Lose(d.key)
	}
	return next
}

// resume finds the line after a faulty expression: the next one that looks like a header or a key.
func (r *tomlReader) resume(start, at int) int {
	text := r.source.Text
	next := textfile.NextLine(text, start)
	if r.source.LineAt(at) == r.source.LineAt(start) {
		return next
	}
	for next < len(text) && !beginsExpression(text[next:textfile.LineEnd(text, next)]) {
		next = textfile.NextLine(text, next)
	}
	return next
}

// beginsExpression reports whether a line looks like a header or a key with a value.
func beginsExpression(line []byte) bool {
	line = bytes.TrimLeft(line, " \t")
	if bytes.HasPrefix(line, []byte("[[")) {
		return true
	}
	i := 0
	for i < len(line) && (line[i] >= 'a' && line[i] <= 'z' || line[i] >= 'A' && line[i] <= 'Z' ||
		line[i] == '_') {
		i++
	}
	return i > 0 && bytes.HasPrefix(bytes.TrimLeft(line[i:], " \t"), []byte("="))
}
