package bank

import (
	"slices"
	"strings"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
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

// writtenOf is what a file says of an entry, by key; empty or missing where it says nothing.
func writtenOf(e Entry) map[string]string {
	written := map[string]string{
		"id": e.ID, "meter": e.Phrase.Meter().String(), "tempo": textfile.Number(e.Phrase.Tempo()),
		"rhythm": e.Phrase.Written(), "tags": strings.Join(e.Tags, ", "), "notes": e.Notes,
	}
	if e.Name != e.ID {
		written["name"] = e.Name
	}
	for key, number := range map[string]float64{
		"tier": float64(e.Tier), "difficulty": e.Difficulty, "difficulty_sd": e.DifficultySD,
		"learned_from": float64(e.LearnedFrom),
	} {
		if number != 0 {
			written[key] = textfile.Number(number)
		}
	}
	return written
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

// Slips is the number of letters to add, take out, replace or swap with a neighbour that turns a
// into b. It tells which name was meant by one that is not known.
func Slips(a, b string) int { return vocabulary.Slips(a, b) }
