package listen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMomentsAreSecondsOrMinutesAndSeconds(t *testing.T) {
	for text, seconds := range map[string]float64{
		"0": 0, "95": 95, "95.5": 95.5, "1:35": 95,
		"1:05.5": 65.5, "1:02:05": 3725,
	} {
		var m moment
		require.NoError(t, m.UnmarshalText([]byte(text)), text)
		assert.InDelta(t, seconds, float64(m), 1e-9, text)
	}
	for _, text := range []string{"", "soon", "-1", "1:75", "1.5:10", "1:2:3:4", "NaN", "Inf", "1:", "1e9"} {
		var m moment
		assert.Error(t, m.UnmarshalText([]byte(text)), text)
	}
}
