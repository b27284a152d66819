package bank

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
