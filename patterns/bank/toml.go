package bank

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// readTOML cuts the source into tables in the order of the file; the first stands for what comes
// before any header. A line that can't be read is noted as a problem and left out, so that
// everything else is checked too.
func readTOML(s *source) []*table {
	straighten(s)
	r := tomlReader{source: s, tables: []*table{{}}, names: map[string]bool{}}
	parser := unstable.Parser{KeepComments: true} // so that every line with something on it is an expression
	for at := 0; at < len(s.text); {
		next := r.read(&parser, at)
		if parser.Error() == nil || len(s.problems) > maxProblems {
			break
		}
		at = r.recover(parser.Error(), next)
	}
	return r.tables
}

// checkWhole catches what is wrong between expressions that are each right, such as [[phrase]]
// after phrase = []. It looks only at a file in which nothing else is wrong.
func checkWhole(s *source) {
	if len(s.problems) > 0 {
		return
	}
	var document map[string]any
	var decodeError *toml.DecodeError
	if err := toml.Unmarshal(s.text, &document); errors.As(err, &decodeError) {
		line, column := decodeError.Position()
		line = min(max(line, 1), len(s.lines))
		s.fail(min(s.lines[line-1]+column-1, len(s.text)),
			"this does not go with what stands above it: "+strings.TrimPrefix(decodeError.Error(),
				"toml: "), "")
	}
}

// maxNames bounds the kinds of table in a file; ours have two.
const maxNames = 100

type tomlReader struct {
	source *source
	tables []*table
	names  map[string]bool // of tables so far
	parser *unstable.Parser
	base   int // offset of what the parser reads
}

func (r *tomlReader) current() *table { return r.tables[len(r.tables)-1] }

// read takes expressions from offset at on, to the end or the first error. It returns the offset of
// the line on which the last expression, the faulty one after an error, begins.
func (r *tomlReader) read(parser *unstable.Parser, at int) int {
	r.parser, r.base = parser, at
	parser.Reset(r.source.text[at:])
	next := at
	for parser.NextExpression() {
		e := parser.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			name, start, end := r.key(e.Key())
			t := &table{name: name, many: e.Kind == unstable.ArrayTable, at: r.bracket(start)}
			if r.names[name] = true; len(r.names) > maxNames {
				r.source.fail(t.at, fmt.Sprintf("more than %d kinds of table", maxNames),
					"take the others out")
			}
			r.tables = append(r.tables, t)
			next = nextLine(r.source.text, end)
		case unstable.KeyValue:
			f := r.field(e)
			next = nextLine(r.source.text, r.base+int(e.Raw.Offset+e.Raw.Length))
			r.add(r.current(), f)
		case unstable.Comment:
			next = nextLine(r.source.text, r.base+int(e.Raw.Offset+e.Raw.Length))
		}
	}
	for next < len(r.source.text) { // empty lines before the faulty one
		kind, end := lex(r.source.text, next)
		if kind != lexSpace && kind != lexNewline {
			break
		}
		next = end
	}
	return next
}

// bracket is the offset of the first bracket of the header whose name begins at offset at.
func (r *tomlReader) bracket(at int) int {
	line := r.source.lines[r.source.lineAt(at)-1]
	if i := bytes.IndexByte(r.source.text[line:at], '['); i >= 0 {
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
		r.source.fail(start, fmt.Sprintf("a key of %d parts", count), "take it out")
	}
	return strings.Join(names, "."), start, end
}

func (r *tomlReader) field(e *unstable.Node) field {
	name, start, end := r.key(e.Key())
	f := field{key: name, at: start}
	at := end // of the value: after white space and "="
	for at < len(r.source.text) && bytes.IndexByte([]byte(" \t="), r.source.text[at]) >= 0 {
		at++
	}
	f.value = r.value(e.Value(), at)
	return f
}

// value reads a value; at is where it begins, for those that don't know.
func (r *tomlReader) value(n *unstable.Node, at int) value {
	v := value{start: at, end: at + 1}
	if n.Raw.Length > 0 {
		v.start = r.base + int(n.Raw.Offset)
		v.end = v.start + int(n.Raw.Length)
	}
	switch n.Kind {
	case unstable.String:
		v.text = string(n.Data)
	case unstable.Integer:
		v.kind, v.text = wholeValue, string(n.Data)
	case unstable.Float:
		v.kind, v.text = numberValue, string(n.Data)
	case unstable.Bool:
		v.kind, v.text = boolValue, string(n.Data)
	case unstable.Array:
		v.kind = listValue
		for children := n.Children(); children.Next(); {
			if child := children.Node(); child.Kind != unstable.Comment {
				v.list = append(v.list, r.value(child, v.start))
			}
		}
	case unstable.InlineTable:
		v.kind = tableValue
		v.table = &table{at: v.start}
		for children := n.Children(); children.Next(); {
			if child := children.Node(); child.Kind != unstable.Comment {
				r.add(v.table, r.field(child))
			}
		}
	default:
		v.kind, v.text = dateValue, string(n.Data)
	}
	return v
}

// maxFields bounds the keys of a table; ours have ten.
const maxFields = 100

// add puts a field into a table.
func (r *tomlReader) add(t *table, f field) {
	if first, ok := t.field(f.key); ok {
		r.source.fail(f.at, fmt.Sprintf("%s is given twice, first on line %d", f.key,
			r.source.lineAt(first.at)), "take one of them out")
		return
	}
	if len(t.fields) == maxFields {
		r.source.fail(f.at, fmt.Sprintf("more than %d keys", maxFields), "take the others out")
		return
	}
	t.fields = append(t.fields, f)
}

// flatten puts tables written as a list in braces, as in phrase = [{…}], after the table that holds
// them, as if each had a header of its own.
func flatten(tables []*table) []*table {
	flat := make([]*table, 0, len(tables))
	for _, t := range tables {
		flat = append(flat, t)
		kept := t.fields[:0]
		for _, f := range t.fields {
			inner := tablesOf(f.value)
			if inner == nil {
				kept = append(kept, f)
				continue
			}
			for _, each := range inner {
				each.name, each.many = f.key, true
				if t.name != "" {
					each.name = t.name + "." + f.key
				}
			}
			flat = append(flat, flatten(inner)...)
		}
		if len(kept) < len(t.fields) {
			t.fields = kept
		}
	}
	return flat
}

// tablesOf is the tables of a list that holds nothing else, nil for other values.
func tablesOf(v value) []*table {
	if v.kind != listValue || len(v.list) == 0 || v.list[0].kind != tableValue {
		return nil
	}
	tables := make([]*table, 0, len(v.list))
	for _, element := range v.list {
		if element.kind != tableValue {
			return nil
		}
		tables = append(tables, element.table)
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
	s.fail(d.at, d.message, d.advice)
	if d.header != "" {
		r.tables = append(r.tables, &table{name: d.header, many: true, at: start})
	}
	if d.key != "" {
		r.current().lose(d.key)
	}
	return next
}

// resume finds the line after a faulty expression: the next one that looks like a header or a key.
func (r *tomlReader) resume(start, at int) int {
	text := r.source.text
	next := nextLine(text, start)
	if r.source.lineAt(at) == r.source.lineAt(start) {
		return next
	}
	for next < len(text) && !beginsExpression(text[next:lineEnd(text, next)]) {
		next = nextLine(text, next)
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
