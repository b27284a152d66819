package onset

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestABurstAmongSureOnesIsSurer(t *testing.T) {
	at := func(time, confidence float64, single bool) candidate {
		return candidate{Burst{Time: time, Confidence: confidence}, evidence{single: single}}
	}
	for _, test := range []struct {
		law   string
		found []candidate
		want  float64 // confidence of the second
	}{
		{"between two, the odds are four times as high", []candidate{at(1, 0.9, false), at(1.5, 0.2, false), at(2, 0.9, false)}, 0.5},
		{"certainty stays certainty", []candidate{at(1, 0.9, false), at(1.5, 1, false), at(2, 0.9, false)}, 1},
		{"one side is not enough", []candidate{at(1, 0.9, false), at(1.5, 0.2, false), at(2, 0.4, false)}, 0.2},
		{"far off is no company", []candidate{at(1, 0.9, false), at(1.5, 0.2, false), at(3, 0.9, false)}, 0.2},
		{"a single clap stands for itself", []candidate{at(1, 0.9, false), at(1.5, 0.2, true), at(2, 0.9, false)}, 0.2},
		{"the doubtful do not vouch for each other", []candidate{at(1, 0.45, false), at(1.5, 0.2, false), at(2, 0.45, false)}, 0.2},
	} {
		t.Run(test.law, func(t *testing.T) {
			weighCompany(test.found)
			assert.InDelta(t, test.want, test.found[1].Confidence, 1e-12)
		})
	}
}
