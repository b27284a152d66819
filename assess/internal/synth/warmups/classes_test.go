package warmups

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth"
)

// Laws that hold in every warm-up.
func TestTruthIsConsistentInAllClasses(t *testing.T) {
	for _, scene := range Suite(11, 64, Untouched, ladder()) {
		checkTruth(t, scene)
	}
	for i, class := range Sessions() {
		checkTruth(t, class.Scene(uint64(i), ladder()))
	}
}

func checkTruth(t *testing.T, s synth.Scene) {
	truth := truthOf(t, s)
	name := truth.Class
	require.True(t, slices.IsSortedFunc(truth.Strokes, func(a, b synth.Stroke) int {
		if a.Time < b.Time {
			return -1
		}
		return 0
	}), name)
	for _, s := range truth.Strokes {
		assert.True(t, s.Time >= 0 && s.Time < truth.Duration, "%s: stroke at %g", name, s.Time)
		assert.True(t, s.Person >= 0 && s.Person <= truth.People, name)
		assert.True(t, s.Round >= -1 && s.Round < len(truth.Rounds), name)
		assert.InDelta(t, 0, math.Remainder(s.Time*float64(truth.Rate), 1), 1e-6, "%s: on a sample", name)
		for _, q := range truth.Quiet {
			assert.False(t, s.Time > q.Start && s.Time < q.End,
				"%s: stroke at %g in a quiet span", name, s.Time)
		}
	}
	before := 0.0
	for _, r := range truth.Rounds {
		assert.GreaterOrEqual(t, r.Attempt, 1)
		if r.Recalled {
			assert.GreaterOrEqual(t, r.Call.Start, before-1e-4, "%s: calls come after answers", name)
		}
		before = r.Call.End
		if r.Response == nil {
			continue
		}
		checkResponse(t, s, truth, r, name)
		before = r.Response.Due
	}
}

func checkResponse(t *testing.T, s synth.Scene, truth *synth.Truth, r synth.Round, name string) {
	q := r.Response
	assert.GreaterOrEqual(t, q.Due, r.Call.End-1e-4, name)
	assert.InDelta(t, q.Lag, q.Start-q.Due, 2e-5, name)
	assert.InDelta(t, r.Call.Tempo*q.TempoRatio, q.Tempo, 0.01, name)
	assert.Len(t, q.Notes, len(r.Call.Notes), name)
	wrong := q.Answered != r.Phrase
	if wrong {
		assert.Zero(t, q.Got, name)
	}
	assert.InDelta(t, float64(q.Got)/float64(truth.People), q.Share, 1e-5)
	for _, n := range q.Notes {
		if s.Group.Habits.Slip == 0 {
			assert.GreaterOrEqual(t, n.Participation, q.Share-1e-5, "%s: who got it clapped every note", name)
		}
		assert.LessOrEqual(t, n.Participation, 1.0, name)
		assert.GreaterOrEqual(t, n.Energy, 0.0, name)
		assert.Equal(t, n.Participation == 0, n.Energy == 0, name)
		expected := q.Start + n.Beat*60/q.Tempo
		assert.InDelta(t, expected, n.Time, 0.25, "%s: note where the group's pulse puts it", name)
	}
	for _, x := range q.Extras {
		assert.True(t, x.Participation > 0 && x.Participation <= 1, name)
	}
	for _, m := range q.Mistakes {
		assert.True(t, m.Share > 0 && m.Share <= 1-q.Share+1e-5 || wrong, "%s: %v", name, m)
	}
}
