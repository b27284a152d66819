package bank

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestTheStarterBankSurvivesEveryFormat(t *testing.T) {
	bank := Starter()
	bank.Entries[3].Tier, bank.Entries[4].Difficulty = 7, 3.25
	bank.Entries[4].DifficultySD, bank.Entries[4].LearnedFrom = 0.45, 12
	text, err := bank.EncodeTOML()
	require.NoError(t, err)
	again, err := Load("bank.toml", text)
	require.NoError(t, err)
	sameEntries(t, bank.Entries, again.Entries, "TOML")
	twice, err := again.EncodeTOML()
	require.NoError(t, err)
	assert.Equal(t, string(text), string(twice), "writing is stable")
	formatted, err := FormatTOML("bank.toml", text)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(formatted), "what is written is formatted")
	for _, separator := range ",;\t" {
		sheet, err := bank.EncodeCSV(separator)
		require.NoError(t, err)
		fromSheet, err := Load("bank.csv", sheet)
		require.NoError(t, err)
		sameEntries(t, bank.Entries, fromSheet.Entries, "CSV")
		back, err := fromSheet.EncodeTOML()
		require.NoError(t, err)
		assert.Equal(t, string(text), string(back), "TOML by way of CSV")
		sheetAgain, err := fromSheet.EncodeCSV(separator)
		require.NoError(t, err)
		assert.Equal(t, string(sheet), string(sheetAgain))
	}
}

func samePieces(t *testing.T, want, got []Piece, message string) {
	t.Helper()
	require.Len(t, got, len(want), message)
	for i := range want {
		a, b := want[i], got[i]
		require.Len(t, b.Parts, len(a.Parts), message)
		for j := range a.Parts {
			p, q := a.Parts[j], b.Parts[j]
			assert.True(t, p.Phrase.Equal(q.Phrase), "%s: %s, %s", message, a.ID, p.Name)
			assert.InDelta(t, p.Phrase.Tempo(), q.Phrase.Tempo(), 0, "%s: %s, %s", message, a.ID, p.Name)
			assert.Equal(t, p.Name, q.Name, message)
			assert.Equal(t, p.Role, q.Role, message)
		}
		a.Parts, b.Parts, a.Line, b.Line = nil, nil, 0, 0
		assert.Equal(t, a, b, message)
	}
}

func TestTheStarterRepertoireSurvivesEveryFormat(t *testing.T) {
	r := StarterRepertoire()
	r.Pieces[1].Tier = 2
	text, err := r.EncodeTOML()
	require.NoError(t, err)
	again, err := LoadRepertoire("repertoire.toml", text)
	require.NoError(t, err)
	samePieces(t, r.Pieces, again.Pieces, "TOML")
	formatted, err := FormatTOML("repertoire.toml", text)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(formatted), "what is written is formatted")
	for _, separator := range ",;\t" {
		sheet, err := r.EncodeCSV(separator)
		require.NoError(t, err)
		fromSheet, err := LoadRepertoire("repertoire.csv", sheet)
		require.NoError(t, err)
		samePieces(t, r.Pieces, fromSheet.Pieces, "CSV")
		back, err := fromSheet.EncodeTOML()
		require.NoError(t, err)
		assert.Equal(t, string(text), string(back), "TOML by way of CSV")
	}
}

func TestAwkwardTextsSurvive(t *testing.T) {
	awkward := []string{`quotes " and ' and \ and """`, "two\nlines\tand a tab", "lines with \\n\nin them", "#no comment, = [x]", "tide é 拍 🥁", "a;b,c|d", `"`, `ends with "`, "x\n\ny", "=1+1"}
	b := &Bank{}
	for i, text := range awkward {
		e := Entry{
			ID: "id" + string(rune('a'+i)), Name: strings.Join(strings.Fields(text), " "),
			Notes: text, Tags: []string{"a b"}, Phrase: rhythm.MustParse("x . xxx x", "4/4", 72.5),
		}
		b.Entries = append(b.Entries, e)
	}
	text, err := b.EncodeTOML()
	require.NoError(t, err)
	again, err := Load("", text)
	require.NoError(t, err)
	sameEntries(t, b.Entries, again.Entries, "TOML")
	for _, separator := range ",;\t" {
		sheet, err := b.EncodeCSV(separator)
		require.NoError(t, err)
		again, err = Load("", sheet)
		require.NoError(t, err)
		sameEntries(t, b.Entries, again.Entries, "CSV")
	}
}

func TestWhatCouldNotBeReadAgainIsNotWritten(t *testing.T) {
	good := Entry{ID: "row", Phrase: rhythm.MustParse("x x x x", "4/4", 96)}
	for law, e := range map[string]Entry{
		"an id of two words":    {ID: "row home", Phrase: good.Phrase},
		"no id":                 {Phrase: good.Phrase},
		"no phrase":             {ID: "quay"},
		"a tier beyond 20":      {ID: "quay", Tier: 21, Phrase: good.Phrase},
		"an id twice":           good,
		"a comma in a tag":      {ID: "quay", Tags: []string{"a,b"}, Phrase: good.Phrase},
		"an escape in the name": {ID: "quay", Name: "a\x1b[2J", Phrase: good.Phrase},
	} {
		b := &Bank{Entries: []Entry{good, e}}
		_, err := b.EncodeTOML()
		var fileError *FileError
		require.ErrorAs(t, err, &fileError, law)
		if law != "a comma in a tag" { // which is two tags in a sheet
			_, err = b.EncodeCSV(',')
			require.ErrorAs(t, err, &fileError, law)
		}
	}
	_, err := (&Bank{}).EncodeTOML()
	require.Error(t, err, "an empty bank")
	_, err = (&Bank{Entries: []Entry{good}}).EncodeCSV('x')
	require.ErrorContains(t, err, "can't separate cells")
	_, err = (&Repertoire{Pieces: []Piece{{ID: "slipway"}}}).EncodeTOML()
	require.Error(t, err, "a piece without parts")
	_, err = (&Repertoire{Pieces: []Piece{{ID: "slipway"}}}).EncodeCSV(',')
	require.Error(t, err, "a piece without parts")
}

func TestRepertoireRowsInheritFromTheirPiece(t *testing.T) {
	r, err := LoadRepertoire("repertoire.csv", []byte(`id,name,meter,tempo,tags,part,role,rhythm
slipway,Slipway March,4/4,92,body,march,core,s x s x
,,,,,feet,support,s . s .
mooring,,3/4,,,,core,x x .
slipway,,3/4,69,,turn,lead,x xx x
`))
	require.NoError(t, err)
	require.Len(t, r.Pieces, 2)
	p := r.Pieces[0]
	require.Len(t, p.Parts, 3)
	assert.Equal(t, "Slipway March", p.Name)
	assert.Equal(t, "4/4", p.Parts[1].Phrase.Meter().String())
	assert.InDelta(t, 92, p.Parts[1].Phrase.Tempo(), 0)
	assert.Equal(t, "3/4", p.Parts[2].Phrase.Meter().String())
	assert.InDelta(t, 69, p.Parts[2].Phrase.Tempo(), 0)
	assert.Equal(t, Lead, p.Parts[2].Role)
	assert.Equal(t, "mooring", r.Pieces[1].Name)
	assert.Equal(t, "core", r.Pieces[1].Parts[0].Name, "the role stands in for a name")
	assert.Zero(t, Piece{}.Core())
}

// A spreadsheet runs a cell that begins with = + - or @ as a formula, and a bank may come from a
// stranger (OWASP, "CSV Injection").
func TestNoCellOfASheetIsAFormula(t *testing.T) {
	for _, text := range []string{
		"=1+1", "+1", "-1", "@SUM(A1)", "'=1", "''=1", "'", "''", "it's",
		"'tis low water", "a=b",
	} {
		b := &Bank{Entries: []Entry{{
			ID: "mast", Name: text, Notes: text,
			Phrase: rhythm.MustParse("x x x x", "4/4", 96),
		}}}
		data, err := b.EncodeCSV(',')
		require.NoError(t, err)
		rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		require.NoError(t, err)
		for _, cell := range rows[1] {
			assert.NotContains(t, []string{"=", "+", "-", "@"}, (cell + " ")[:1], text)
		}
		again, err := Load("", data)
		require.NoError(t, err)
		assert.Equal(t, text, again.Entries[0].Name)
		assert.Equal(t, text, again.Entries[0].Notes)
	}
}
