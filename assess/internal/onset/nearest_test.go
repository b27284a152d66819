package onset

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearestAttack(t *testing.T) {
	n := NewNearest([]Attack{{Time: 0.5}, {Time: 1.2}, {Time: 1.3}}, 3)
	for at, want := range map[float64]int{
		0.49: 0, 0.55: 0, 1.21: 1, 1.28: 2, 1.33: 2, 0.9: -1,
		-4: -1, 99: -1,
	} {
		assert.Equal(t, want, n.Index(at, 0.06), "at %g s", at)
	}
	none := NewNearest(nil, 3)
	assert.Equal(t, -1, none.Index(1, 0.5))
}
