package csvtext

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestEveryCharacterOfACellHasItsPlace(t *testing.T) {
	for raw, want := range map[string][]int{
		"x x":        {0, 1, 2, 3},
		`"x x"`:      {1, 2, 3, 4},
		`"é""!"`:     {1, 4, 5, 6},
		"\"a\r\nb\"": {1, 3, 4, 5},
		``:           {0},
		`""`:         {1},
		`""""`:       {2, 3},
	} {
		assert.Equal(t, want, Offsets([]byte(raw)), raw)
	}
}
