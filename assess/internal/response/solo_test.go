package response

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestOnePersonClapsANoteOrDoesNot(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 120) // a note every half second
	for _, test := range []struct {
		law     string
		strokes []float64
		want    []float64
		extras  []float64 // steps
		share   float64
	}{
		{"near enough is clapped", []float64{10.02, 10.45, 11.1, 11.5}, []float64{1, 1, 1, 1}, nil, 1},
		{"one left out", []float64{10, 11, 11.5}, []float64{1, 0, 1, 1}, nil, 0},
		{
			"one too many and the phrase is lost",
			[]float64{10, 10.25, 10.5, 11, 11.5},
			[]float64{1, 1, 1, 1},
			[]float64{0.5},
			0,
		},
		{"one moved is both", []float64{10, 10.5, 11.25, 11.5}, []float64{1, 1, 0, 1}, []float64{2.5}, 0},
		{
			"two at one note are one note",
			[]float64{10, 10.5, 11, 11.47, 11.58},
			[]float64{1, 1, 1, 1},
			[]float64{3.16},
			0,
		},
		{"silence", nil, []float64{0, 0, 0, 0}, nil, 0},
	} {
		t.Run(test.law, func(t *testing.T) {
			h := Heard{
				Answer: Answer{Phrase: p, Expected: p.TimeMap(10)}, Map: p.TimeMap(10),
				Spread: 0.02, Notes: []float64{1, 2, 3, 4},
			}
			r := h.Solo(Calibration{Full: [4]float64{2}}, test.strokes)
			require.Len(t, r.Notes, 4)
			for i, n := range r.Notes {
				assert.Equal(t, test.want[i], n.Participation, "note %d", i)
				assert.Equal(t, test.want[i] == 0, math.IsNaN(n.Played), "note %d", i)
			}
			require.Len(t, r.Extras, len(test.extras))
			for i, x := range r.Extras {
				assert.InDelta(t, test.extras[i], x.Step/float64(p.Steps())*4, 0.11)
				assert.Equal(t, 1.0, x.Participation)
			}
			assert.Equal(t, test.share, r.Share)
		})
	}
}
