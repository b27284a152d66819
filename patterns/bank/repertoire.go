package bank

import (
	"slices"

	"clapladder.example/patterns/internal/vocabulary"
	"clapladder.example/rhythm"
)

// Role says what a part is for.
type Role string

// The roles of a part.
const (
	Core    Role = "core"    // what most people play; decides how hard the piece is
	Support Role = "support" // simpler: for beginners and late arrivals
	Lead    Role = "lead"    // harder: for those who want more
)

// roleOf reads a role.
func roleOf(text string) (Role, bool) {
	return Role(text), slices.Contains(vocabulary.Roles, text)
}

// Part is one rhythm of a piece.
type Part struct {
	Name string // the name of the role where the file gives none
	Role Role   // what it is for: core, support or lead
	// at the part's own metre and tempo, which are those of the piece unless the file says
	// otherwise
	Phrase rhythm.Phrase
	Line   int // line of the file on which the part begins, from 1; 0 where it came from no file
}

// Piece is something to play once the group is warm: one core part at least, others beside it.
type Piece struct {
	ID    string // unique in the repertoire, one short word
	Name  string // the ID where the file gives none
	Notes string // for the leader; may have several lines
	// the leader's own placing of the core part, 1 to 20, which wins over the model; 0 where the
	// file gives none
	Tier  int
	Tags  []string // in the order of the file; read only
	Parts []Part   // in the order of the file
	Line  int      // line of the file on which the piece begins, from 1; 0 where it came from no file
}

// Core returns the first part with the role [Core]. Every piece that was loaded has one; a Piece
// without gives a zero Part.
func (p Piece) Core() Part {
	for _, part := range p.Parts {
		if part.Role == Core {
			return part
		}
	}
	return Part{}
}

// Repertoire is the pieces a leader has at hand, in the order of the file.
type Repertoire struct {
	Pieces []Piece // in the order of the file
	// Remarks are about what is legal but may not be meant; they don't keep a repertoire from being
	// used.
	Remarks []Problem
}

// LoadRepertoire reads a repertoire from a TOML or CSV file, as [Load] does a bank. In CSV each row
// is one part, and rows with the same id make one piece.
func LoadRepertoire(name string, data []byte) (*Repertoire, error) {
	return Loader{}.Repertoire(name, data)
}
