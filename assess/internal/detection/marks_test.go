package detection

import (
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth/signal"
)

func TestDetectionsArePairedWithMarksOnce(t *testing.T) {
	m := Marks{Times: []float64{1, 2, 3}, Others: []float64{2.5}, Spans: []signal.Span{{Start: 0.5, End: 3.5}}}
	for _, test := range []struct {
		name       string
		found      []float64
		hits, seen int
	}{
		{"all right", []float64{1, 2.02, 2.98}, 3, 3},
		{"one heard twice", []float64{1, 1.01, 2, 3}, 3, 4},
		{"one missed", []float64{1, 3}, 2, 2},
		{"one too far off", []float64{1.06, 2, 3}, 2, 3},
		{"near what may be heard", []float64{1, 2, 2.52, 3}, 3, 3},
		{"outside the spans", []float64{0.2, 1, 2, 3, 9}, 3, 3},
		{"nothing found", nil, 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			s, _ := m.Compare(test.found, 0.05)
			require.Equal(t, Score{test.hits, 3, test.seen}, s)
		})
	}
}
