package tomltext

import (
	"bytes"
	"fmt"
	"strings"

	"clapladder.example/patterns/internal/textfile"
)

// Set carries out edits of phrases, which the text must have, and leaves everything else of it as
// it is. The text must be TOML.
func Set(s *textfile.Source, edits []textfile.Edit) ([]byte, error) {
	byID := map[string]*textfile.Table{}
	for _, t := range Read(s) {
		if f, ok := t.Field("id"); ok {
			byID[strings.TrimSpace(f.Value.Text)] = t
		}
	}
	var changes textfile.Changes
	for _, e := range edits {
		t, ok := byID[e.ID]
		if !ok {
			return nil, fmt.Errorf("the bank has no phrase %q", e.ID)
		}
		f, given := t.Field(e.Key)
		inBraces := s.Text[t.At] == '{'
		after, _ := t.Field("rhythm")
		switch {
		case given && e.Value != "":
			changes.Put(f.Value.Start, f.Value.End, e.Value)
		case given && inBraces:
			changes.Put(inBracesWithComma(s.Text, f))
		case given:
			changes.Put(inItsLine(s, f))
		case e.Value == "":
		case inBraces:
			at := after.Value.End
			changes.Put(at, at, ", "+e.Key+" = "+e.Value)
		default:
			indent := s.Text[s.StartOfLine(after.At):after.At]
			at, eol := textfile.LineEnd(s.Text, after.Value.End), textfile.LineBreak(s.Text)
			changes.Put(at, at, eol+string(indent)+e.Key+" = "+e.Value)
		}
	}
	return changes.Apply(s.Text), nil
}

// inItsLine is what to take out, and what to put there, to lose a field with its line. A comment
// behind it stays as a line of its own.
func inItsLine(s *textfile.Source, f textfile.Field) (start, end int, text string) {
	end = textfile.LineEnd(s.Text, f.Value.End)
	if rest := bytes.TrimLeft(s.Text[f.Value.End:end], " \t"); len(rest) > 0 {
		return f.At, end - len(rest), ""
	}
	return s.StartOfLine(f.At), textfile.NextLine(s.Text, f.Value.End), ""
}

// inBracesWithComma is the same for a field of a table in braces, with one of the commas beside it.
func inBracesWithComma(text []byte, f textfile.Field) (start, end int, put string) {
	before := bytes.TrimRight(text[:f.At], " \t\r\n")
	if bytes.HasSuffix(before, []byte(",")) {
		return len(before) - 1, f.Value.End, ""
	}
	after := bytes.TrimLeft(text[f.Value.End:], " \t\r\n")
	if rest, ok := bytes.CutPrefix(after, []byte(",")); ok {
		return f.At, len(text) - len(bytes.TrimLeft(rest, " \t")), ""
	}
	return f.At, f.Value.End, ""
}
