package onset_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
)

// manySounds are claps of one person and of a group, stamps, and noise that may cover some.
func manySounds(t *testing.T) *onset.Detail {
	h := newHall(24, 0.1, 0.5)
	for i := range 8 {
		h.clap(0.5+0.6*float64(i), 0.1)
		h.stamp(0.8+0.6*float64(i), 0.2)
		h.group(6+0.7*float64(i), 0.03, 0.03, 20)
		h.group(13+0.9*float64(i), 0.06, 0.03, 20)
	}
	samples := sound(h.noisy(0.003).samples)
	a, err := onset.Examine(context.Background(), &samples)
	require.NoError(t, err)
	return a
}

func TestKeptCandidatesGiveTheBurstsOfTheRecording(t *testing.T) {
	a := manySounds(t)
	c := a.Candidates()
	want := a.Bursts()
	require.Greater(t, len(want), 20)
	assert.Equal(t, want, c.Bursts(onset.InUse()))
	assert.Equal(t, want, c.Bursts(onset.InUse()), "the same again")
}

func TestEveryFeatureOfACandidateHasANameAndAWeight(t *testing.T) {
	c := manySounds(t).Candidates()
	w := onset.InUse()
	for kind := range onset.Kinds {
		found := c.Of(kind, w)
		assert.NotEmpty(t, found, onset.KindNames[kind])
		for _, x := range found {
			assert.Len(t, onset.FeatureNames[kind], len(x.Features))
			assert.Len(t, w[kind], len(x.Features))
		}
	}
}

func TestWeightsDecideWhatIsABurst(t *testing.T) {
	c := manySounds(t).Candidates()
	none := onset.Weights{{-9, 0, 0, 0}, {-9, 0, 0, 0, 0, 0}, {-9, 0, 0}}
	assert.Empty(t, c.Bursts(none))
	wide := func(b onset.Burst) bool { return b.Width > 0 }
	all := c.Bursts(onset.Weights{{9, 0, 0, 0}, {9, 0, 0, 0, 0, 0}, {9, 0, 0}})
	assert.True(t, slices.ContainsFunc(all, wide))
	single := c.Bursts(onset.Weights{{9, 0, 0, 0}, none[onset.GroupKind], {9, 0, 0}})
	require.NotEmpty(t, single)
	assert.False(t, slices.ContainsFunc(single, wide), "no group's")
}
