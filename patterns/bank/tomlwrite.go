package bank

import (
	"fmt"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/tomltext"
	"clapladder.example/patterns/internal/vocabulary"
	"clapladder.example/rhythm"
)

// EncodeTOML writes the bank as a file that [Load] reads. The same bank gives the same bytes. A
// bank that could not be read again, for instance for want of an ID, gives a *[FileError] with
// places in the file that would have been written.
func (b *Bank) EncodeTOML() ([]byte, error) {
	var w tomltext.Writer
	for _, e := range b.Entries {
		writeEntry(&w, e)
	}
	if _, err := unlimited.Bank("", w.Bytes()); err != nil {
		return nil, err
	}
	return w.Bytes(), nil
}

func writeEntry(w *tomltext.Writer, e Entry) {
	w.Header("phrase")
	written := writtenOf(e)
	for _, key := range vocabulary.PhraseKeys {
		switch text := written[key]; {
		case key == "tags":
			w.Tags(e.Tags)
		case text != "" && vocabulary.NumberKeys[key] != "":
			w.Line(key, text)
		case key == "meter" || key == "rhythm":
			w.Line(key, tomltext.Quote(text))
		default:
			w.Text(key, text)
		}
	}
}

// EncodeTOML writes the repertoire as a file that [LoadRepertoire] reads, as [Bank.EncodeTOML] does
// a bank. The metre and tempo of a piece are those of its core part.
func (r *Repertoire) EncodeTOML() ([]byte, error) {
	var w tomltext.Writer
	for _, p := range r.Pieces {
		core := p.Core().Phrase
		w.Header("piece")
		w.Text("id", p.ID)
		if p.Name != p.ID {
			w.Text("name", p.Name)
		}
		w.Line("meter", tomltext.Quote(core.Meter().String()))
		w.Line("tempo", textfile.Number(core.Tempo()))
		if p.Tier != 0 {
			w.Line("tier", fmt.Sprint(p.Tier))
		}
		w.Tags(p.Tags)
		w.Text("notes", p.Notes)
		for _, part := range p.Parts {
			w.Header("piece.part")
			writePart(&w, part, core)
		}
	}
	if _, err := unlimited.Repertoire("", w.Bytes()); err != nil {
		return nil, err
	}
	return w.Bytes(), nil
}

// writePart leaves out what is the same as in the core part.
func writePart(w *tomltext.Writer, part Part, core rhythm.Phrase) {
	if part.Name != string(part.Role) {
		w.Text("name", part.Name)
	}
	w.Line("role", tomltext.Quote(string(part.Role)))
	if part.Phrase.Meter() != core.Meter() {
		w.Line("meter", tomltext.Quote(part.Phrase.Meter().String()))
	}
	if part.Phrase.Tempo() != core.Tempo() {
		w.Line("tempo", textfile.Number(part.Phrase.Tempo()))
	}
	w.Line("rhythm", tomltext.Quote(part.Phrase.Written()))
}
