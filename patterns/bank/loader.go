package bank

import (
	"clapladder.example/patterns/internal/csvtext"
	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/tomltext"
	"clapladder.example/patterns/internal/vocabulary"
)

// Limits of the zero [Loader].
const (
	DefaultMaxBytes   = 4 << 20 // of a file
	DefaultMaxEntries = 10_000  // phrases of a bank, parts of a repertoire
)

// Loader reads banks and repertoires under limits, so that a wrong file can't use up memory. The
// zero Loader has the default limits. Loaders are safe for concurrent use.
type Loader struct {
	MaxBytes   int // of a file; 0 means DefaultMaxBytes
	MaxEntries int // phrases of a bank, parts of a repertoire; 0 means DefaultMaxEntries

	// Raise says how the limits are raised, such as "add --large", and ends the advice about a file
	// beyond them; may be empty.
	Raise string
}

// instead is advice about a file beyond a limit.
func (l Loader) instead(advice string) string {
	if l.Raise == "" {
		return advice
	}
	return advice + ", or " + l.Raise
}

// Bank is [Load] with the limits of l.
func (l Loader) Bank(name string, data []byte) (*Bank, error) {
	b, remarks, err := read(l, name, data, (*checker).bank, phraseTables, vocabulary.PhraseKeys)
	if err != nil {
		return nil, err
	}
	b.Remarks = remarks
	return b, nil
}

// Repertoire is [LoadRepertoire] with the limits of l.
func (l Loader) Repertoire(name string, data []byte) (*Repertoire, error) {
	r, remarks, err := read(l, name, data, (*checker).repertoire, pieceTables, repertoireColumns)
	if err != nil {
		return nil, err
	}
	r.Remarks = remarks
	return r, nil
}

// read reads one kind of document, from tables of either way to write it down. check turns them
// into what they hold; rows turns the rows of a sheet with the given columns into tables.
func read[T any](
	l Loader,
	name string,
	data []byte,
	check func(*checker, []*textfile.Table, Loader) *T,
	rows func(*csvtext.Sheet, *textfile.Source) []*textfile.Table,
	columns []string,
) (document *T, remarks []Problem, err error) {
	s, kind := l.open(name, data)
	c := &checker{source: s, cells: kind == commaSeparated}
	switch kind {
	case tomlText:
		document = check(c, tomltext.Read(s), l)
		tomltext.CheckWhole(s)
	case commaSeparated:
		if sh := csvtext.Read(s, columns); s.Clean() || len(sh.Rows) > 0 {
			document = check(c, rows(sh, s), l)
		}
	}
	return document, shown(s.Remarks), fileError(s)
}

func (l Loader) entries() int {
	if l.MaxEntries > 0 {
		return l.MaxEntries
	}
	return DefaultMaxEntries
}
