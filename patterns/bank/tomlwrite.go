package bank

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"

	"clapladder.example/rhythm"
)

// EncodeTOML writes the bank as a file that [Load] reads. The same bank gives the same bytes. A
// bank that could not be read again, for instance for want of an ID, gives a *[FileError] with
// places in the file that would have been written.
func (b *Bank) EncodeTOML() ([]byte, error) {
	var out bytes.Buffer
	for i, e := range b.Entries {
		if i > 0 {
			out.WriteByte('\n')
		}
		writeEntry(&out, e)
	}
	if _, err := unlimited.Bank("", out.Bytes()); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func writeEntry(out *bytes.Buffer, e Entry) {
	w := tomlWriter{out}
	out.WriteString("[[phrase]]\n")
	w.text("id", e.ID)
	if e.Name != e.ID {
		w.text("name", e.Name)
	}
	w.line("meter", quoteTOML(e.Phrase.Meter().String()))
	w.line("tempo", formatNumber(e.Phrase.Tempo()))
	w.line("rhythm", quoteTOML(e.Phrase.Written()))
	if e.Tier != 0 {
		w.line("tier", fmt.Sprint(e.Tier))
	}
	if e.Difficulty != 0 {
		w.line("difficulty", formatNumber(e.Difficulty))
	}
	if e.DifficultySD != 0 {
		w.line("difficulty_sd", formatNumber(e.DifficultySD))
	}
	if e.LearnedFrom != 0 {
		w.line("learned_from", fmt.Sprint(e.LearnedFrom))
	}
	w.tags(e.Tags)
	w.text("notes", e.Notes)
}

// EncodeTOML writes the repertoire as a file that [LoadRepertoire] reads, as [Bank.EncodeTOML] does
// a bank. The metre and tempo of a piece are those of its core part.
func (r *Repertoire) EncodeTOML() ([]byte, error) {
	var out bytes.Buffer
	w := tomlWriter{&out}
	for i, p := range r.Pieces {
		if i > 0 {
			out.WriteByte('\n')
		}
		core := p.Core().Phrase
		out.WriteString("[[piece]]\n")
		w.text("id", p.ID)
		if p.Name != p.ID {
			w.text("name", p.Name)
		}
		w.line("meter", quoteTOML(core.Meter().String()))
		w.line("tempo", formatNumber(core.Tempo()))
		if p.Tier != 0 {
			w.line("tier", fmt.Sprint(p.Tier))
		}
		w.tags(p.Tags)
		w.text("notes", p.Notes)
		for _, part := range p.Parts {
			out.WriteString("\n[[piece.part]]\n")
			w.part(part, core)
		}
	}
	if _, err := unlimited.Repertoire("", out.Bytes()); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

type tomlWriter struct{ out *bytes.Buffer }

func (w tomlWriter) line(key, value string) { fmt.Fprintf(w.out, "%s = %s\n", key, value) }

// text writes nothing for an empty text.
func (w tomlWriter) text(key, text string) {
	switch {
	case text == "":
	case strings.Contains(text, "\n"):
		lines := strings.Split(quoteTOML(text), `\n`)
		if strings.Contains(text, `\`) { // a backslash before an n looks the same
			w.line(key, quoteTOML(text))
			return
		}
		inside := strings.Join(lines, "\n")
		w.line(key, `"""`+"\n"+inside[1:len(inside)-1]+`"""`)
	default:
		w.line(key, quoteTOML(text))
	}
}

func (w tomlWriter) tags(tags []string) {
	if len(tags) == 0 {
		return
	}
	quoted := make([]string, len(tags))
	for i, tag := range tags {
		quoted[i] = quoteTOML(tag)
	}
	w.line("tags", "["+strings.Join(quoted, ", ")+"]")
}

// part leaves out what is the same as in the core part.
func (w tomlWriter) part(part Part, core rhythm.Phrase) {
	if part.Name != string(part.Role) {
		w.text("name", part.Name)
	}
	w.line("role", quoteTOML(string(part.Role)))
	if part.Phrase.Meter() != core.Meter() {
		w.line("meter", quoteTOML(part.Phrase.Meter().String()))
	}
	if part.Phrase.Tempo() != core.Tempo() {
		w.line("tempo", formatNumber(part.Phrase.Tempo()))
	}
	w.line("rhythm", quoteTOML(part.Phrase.Written()))
}

// quoteTOML writes text as a TOML string on one line.
func quoteTOML(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsControl(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
