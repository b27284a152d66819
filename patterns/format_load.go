package patterns

import "errors"

// Loader reads banks and repertoires.
type Loader struct {
	MaxBytes   int
	MaxEntries int
}

// Bank reads a bank.
func (l Loader) Bank(name string, data []byte) (*Bank, error) { return nil, errors.New("not yet") }

// Repertoire reads a repertoire.
func (l Loader) Repertoire(name string, data []byte) (*Repertoire, error) {
	return nil, errors.New("not yet")
}
