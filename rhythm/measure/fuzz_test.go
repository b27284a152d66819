package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func FuzzParsePattern(f *testing.F) {
	f.Add("x..x..x...x.x...", 4, []byte{2, 2, 2, 2})
	f.Add("x.xX-x", 3, []byte{2, 3})
	f.Add("xx", 0, []byte{})
	f.Add("x", 1, []byte{0, 255, 255, 255})
	f.Add("xxxx", 2, []byte{4})
	f.Fuzz(func(t *testing.T, boxes string, beat int, splits []byte) {
		var subdivisions []int
		for _, s := range splits {
			subdivisions = append(subdivisions, int(s))
		}
		p, err := ParsePattern(boxes, beat, subdivisions...)
		if err != nil {
			return
		}
		again, err := newPattern(p.onsets, beat, subdivisions...)
		require.NoError(t, err)
		require.Equal(t, p.onsets, again.onsets)
		for _, p.Cyclic = range []bool{false, true} {
			for _, m := range All() {
				v, err := m.On(p)
				if err == nil {
					require.False(t, math.IsNaN(v), m.ID)
				}
			}
		}
	})
}

func TestPatternsThatAreNone(t *testing.T) {
	for _, c := range []struct {
		boxes  string
		beat   int
		splits []int
		want   string
	}{
		{"", 1, nil, "no onset"},
		{"....", 1, []int{2, 2}, "no onset"},
		{"x.o.", 1, []int{2, 2}, `pulse 3 of the pattern is 'o'`},
		{"x...", 1, []int{3}, "make 3 pulses, the pattern has 4"},
		{"x...", 3, []int{2, 2}, "a beat of 3 pulses"},
		{"x...", 1, []int{1, 4}, "subdivision into 1"},
		{"x", 1, nil, "no subdivisions"},
		{"x...", 1, []int{64, 64, 64}, "more than 4096"},
	} {
		_, err := ParsePattern(c.boxes, c.beat, c.splits...)
		require.ErrorContains(t, err, c.want)
	}
	for _, onsets := range [][]int{nil, {1, 1}, {2, 1}, {-1}, {4}} {
		_, err := newPattern(onsets, 1, 2, 2)
		require.Error(t, err)
	}
}
