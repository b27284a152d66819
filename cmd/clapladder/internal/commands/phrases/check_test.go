package phrases

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCheckTellsRepertoiresFromBanks(t *testing.T) {
	for _, test := range []struct {
		name, text string
		want       bool
	}{
		{"pieces in TOML", "# mine\n[[piece]]\nid = \"a\"\n", true},
		{"pieces under a wrongly cased name", "[[Piece]]\n", true},
		{"parts before pieces", "[[piece.part]]\n", true},
		{"pieces in CSV", "id,name,part,role,meter,rhythm\n", true},
		{"pieces in CSV with semicolons and a byte-order mark", "\xef\xbb\xbfname;role;rhythm\r\n", true},
		{"phrases in TOML", "[[phrase]]\nid = \"piece\"\nname = \"role, part\"\n", false},
		{"phrases in CSV", "id,name,meter,rhythm\npart,Second part,4/4,x x x x\n", false},
		{"nothing", "", false},
	} {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, test.want, looksLikeRepertoire([]byte(test.text)))
		})
	}
}
