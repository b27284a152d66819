package vocabulary

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Worked example of Wagner & Fischer's distance as given in textbooks, from memory: kitten,
// sitting.
func TestSlipsOfAKnownExample(t *testing.T) {
	for _, test := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3},
		{"", "rope", 4},
		{"rope", "", 4},
		{"rope", "ROPE", 4},
		{"tide", "tied", 1},
		{"quay", "quäy", 1},
	} {
		assert.Equal(t, test.want, Slips(test.a, test.b), "%s, %s", test.a, test.b)
		assert.Equal(t, test.want, Slips(test.b, test.a))
	}
}

func TestSlipsOfThePen(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"tempo", "tempo", 0},
		{"tmpo", "tempo", 1},
		{"temppo", "tempo", 1},
		{"tenpo", "tempo", 1},
		{"tepmo", "tempo", 1},
		{"rythm", "rhythm", 1},
		{"rhythmn", "rhythm", 1},
		{"", "id", 2},
		{"ryhtm", "rhythm", 2},
		// published example of the restricted distance, where the unrestricted one is 2 (from
		// memory)
		{"ca", "abc", 3},
	} {
		assert.Equal(t, c.want, Slips(c.a, c.b), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, Slips(c.b, c.a), "%s %s", c.b, c.a)
	}
}
