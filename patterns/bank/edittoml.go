package bank

import (
	"bytes"
	"fmt"
	"strings"
)

func editTOML(s *source, edits []fieldEdit) ([]byte, error) {
	byID := map[string]*table{}
	for _, t := range flatten(readTOML(s)) {
		if f, ok := t.field("id"); ok {
			byID[strings.TrimSpace(f.value.text)] = t
		}
	}
	var changes []change
	for _, e := range edits {
		t, ok := byID[e.id]
		if !ok {
			return nil, fmt.Errorf("the bank has no phrase %q", e.id)
		}
		f, given := t.field(e.key)
		inBraces := s.text[t.at] == '{'
		after, _ := t.field("rhythm")
		switch {
		case given && e.value != "":
			changes = append(changes, change{f.value.start, f.value.end, e.value})
		case given && inBraces:
			changes = append(changes, takeFromBraces(s.text, f))
		case given:
			changes = append(changes, takeLine(s, f))
		case e.value == "":
		case inBraces:
			at := after.value.end
			changes = append(changes, change{at, at, ", " + e.key + " = " + e.value})
		default:
			indent := s.text[s.lines[s.lineAt(after.at)-1]:after.at]
			at, eol := lineEnd(s.text, after.value.end), lineBreak(s.text)
			changes = append(changes, change{at, at, eol + string(indent) + e.key + " = " + e.value})
		}
	}
	return splice(s.text, changes), nil
}

// takeLine takes out the line of a field. A comment behind it stays as a line of its own.
func takeLine(s *source, f field) change {
	start := s.lines[s.lineAt(f.at)-1]
	end := lineEnd(s.text, f.value.end)
	if rest := bytes.TrimLeft(s.text[f.value.end:end], " \t"); len(rest) > 0 {
		return change{f.at, end - len(rest), ""}
	}
	return change{start, nextLine(s.text, f.value.end), ""}
}

// takeFromBraces takes out a field of a table in braces, with one of the commas beside it.
func takeFromBraces(text []byte, f field) change {
	before := bytes.TrimRight(text[:f.at], " \t\r\n")
	if bytes.HasSuffix(before, []byte(",")) {
		return change{len(before) - 1, f.value.end, ""}
	}
	after := bytes.TrimLeft(text[f.value.end:], " \t\r\n")
	if rest, ok := bytes.CutPrefix(after, []byte(",")); ok {
		return change{f.at, len(text) - len(bytes.TrimLeft(rest, " \t")), ""}
	}
	return change{f.at, f.value.end, ""}
}
