package bank

import (
	"bytes"
	"slices"
	"strings"

	"clapladder.example/patterns/internal/csvtext"
	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
)

// appendRow adds a row, and columns for what the sheet has none yet.
func appendRow(s *textfile.Source, e Entry) ([]byte, error) {
	for _, key := range vocabulary.PhraseKeys {
		sh := csvtext.Read(s, vocabulary.PhraseKeys)
		if err := fileError(s); err != nil {
			return nil, err
		}
		if entryRow(e, []string{key})[0] != "" && !slices.Contains(sh.Columns, key) {
			sh.AddColumn(s, key)
		}
	}
	sh := csvtext.Read(s, vocabulary.PhraseKeys)
	row, err := csvtext.Encode([][]string{entryRow(e, sh.Columns)}, sh.Separator)
	if err != nil {
		return nil, err
	}
	eol := textfile.LineBreak(s.Text)
	out := slices.Clip(bytes.TrimRight(s.Text, "\r\n"))
	return append(out, eol+strings.TrimSuffix(string(row), "\n")+eol...), nil
}
