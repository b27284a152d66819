package bank

import (
	_ "embed"
	"slices"
	"sync"
)

//go:embed starter/bank.toml
var starterBankText []byte

//go:embed starter/repertoire.toml
var starterRepertoireText []byte

// StarterText is the file that [Starter] is read from, with its comments, to begin a bank of one's
// own from. The caller owns the result.
func StarterText() []byte { return slices.Clone(starterBankText) }

// StarterRepertoireText is the file that [StarterRepertoire] is read from. The caller owns the
// result.
func StarterRepertoireText() []byte { return slices.Clone(starterRepertoireText) }

// must is for files that the tests have read.
func must[T any](value T, err error) T {
	if err != nil {
		panic(err)
	}
	return value
}

var (
	starterBank = sync.OnceValue(func() *Bank {
		return must(Load("starter/bank.toml", starterBankText))
	})
	starterRepertoire = sync.OnceValue(func() *Repertoire {
		return must(LoadRepertoire("starter/repertoire.toml", starterRepertoireText))
	})
)

// Starter returns the phrases that come with the package, from easy to hard: nine steps of at least
// eight, from plain beats to unequal metres, in about the order in which published teaching
// sequences bring them. A step is a tier of the model that comes with the program; the tags step-1
// to step-9 name it, and no tier is pinned. The caller owns the result, except for the slices in
// its entries, which are read only.
func Starter() *Bank {
	b := *starterBank()
	b.Entries = slices.Clone(b.Entries)
	return &b
}

// StarterRepertoire returns the pieces that come with the package, from the first tier to the
// ninth. The caller owns the result, except for the slices in its pieces, which are read only.
func StarterRepertoire() *Repertoire {
	r := *starterRepertoire()
	r.Pieces = slices.Clone(r.Pieces)
	return &r
}
