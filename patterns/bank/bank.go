package bank

import (
	"slices"

	"clapladder.example/rhythm"
)

// Entry is one phrase of a bank.
type Entry struct {
	ID   string // unique in the bank, one short word
	Name string // the ID where the file gives none
	// Tier is the leader's own placing, 1 to 20, which wins over the model; 0 where the file gives
	// none.
	Tier int
	// Difficulty is a placing finer than a tier, on the tier scale, such as a fit to the leader's
	// own groups writes into the file: 0.1 to 20.5; 0 where the file gives none. It wins over Tier.
	Difficulty   float64
	DifficultySD float64       // how sure Difficulty is, tiers: 0.05 to 5; 0 where the file gives none
	LearnedFrom  int           // groups that Difficulty was learned from; 0 where the leader wrote it
	Tags         []string      // in the order of the file; read only
	Notes        string        // for the leader; may have several lines
	Phrase       rhythm.Phrase // at the entry's tempo
	// line of the file on which the entry begins, from 1; 0 where it came from no file
	Line int
}

// Bank is the phrases a leader calls, in the order of the file. Get one from [Load], which checks
// everything, or from [Starter]; [GradeBank] places its phrases on the tier scale. Functions that
// take a bank only read it, so it may be shared between goroutines as long as nobody changes it.
type Bank struct {
	Entries []Entry // the phrases, in the order of the file
	// Remarks are about what is legal but may not be meant; they don't keep a bank from being used.
	Remarks []Problem
}

// Find returns the entry with the given ID.
func (b *Bank) Find(id string) (Entry, bool) {
	i := slices.IndexFunc(b.Entries, func(e Entry) bool { return e.ID == id })
	if i < 0 {
		return Entry{}, false
	}
	return b.Entries[i], true
}

// Load reads a bank from a TOML or CSV file; which of the two is seen from the content. The name is
// only used in messages and to decide where the content leaves it open. A file that can't be used
// gives a *[FileError] with every problem found. Limits are those of the zero [Loader].
func Load(name string, data []byte) (*Bank, error) { return Loader{}.Bank(name, data) }
