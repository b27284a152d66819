package fit

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/internal/features"
	"clapladder.example/rhythm/measure"
)

func TestReadFolderReadsAllPublicData(t *testing.T) {
	d := public(t)
	assert.Len(t, d.Ratings, 35)
	assert.Len(t, d.Later, 24)
	assert.Len(t, d.Index, 30)
	assert.Len(t, d.Metric, 60)
	assert.Len(t, d.Sequences(), 9)
	assert.Equal(t, 74.0, d.condition(metricSimple)[0].Value)
	assert.Equal(t, 53.0, d.condition(metricComplex)[0].Value)
	assert.Len(t, d.CategoryMeans(difficulty.DefaultModel().Unlimited), 7)
}

// The model that comes with the package, on the public data.
func TestTheDefaultModelOnPublicData(t *testing.T) {
	d, of := public(t), difficulty.DefaultModel().Unlimited
	rated := Rated(of, d.Ratings)
	t.Logf("35 ratings: rho %.2f [%.2f, %.2f]", rated.Value, rated.Low, rated.High)
	assert.Greater(t, rated.Value, 0.72)
	index := Rated(of, d.Index)
	t.Logf("Fitch & Rosenfeld index: rho %.2f [%.2f, %.2f]", index.Value, index.Low, index.High)
	assert.Greater(t, index.Value, 0.90)
	metric := d.MetricAUC(of)
	t.Logf("metric simple against complex: AUC %.3f, %.2f logits apart", metric.Value, d.MetricDifference(of))
	assert.Greater(t, metric.Value, 0.98)
	assert.InDelta(t, 0.93, d.MetricDifference(of), 0.15,
		"published: logit of 74 per cent less logit of 53 per cent")
	means := d.CategoryMeans(of)
	t.Logf("category means %.2f", means)
	assert.True(t, slices.IsSorted(means), "the better the clock, the easier (Povel & Essens 1985)")
}

// Whole data sets left out of a fit to what is public. The examination is never in it.
func TestPublicSetsThatTheFitHasNotSeen(t *testing.T) {
	d := public(t)
	m, err := Model(d.Without(Ratings), DefaultSettings())
	require.NoError(t, err)
	assert.Greater(t, Rated(m.Unlimited, d.Ratings).Value, 0.72)
	m, err = Model(d.Without(Conditions), DefaultSettings())
	require.NoError(t, err)
	assert.Greater(t, d.MetricAUC(m.Unlimited).Value, 0.98)
}

// On patterns without long gaps the feature is the published measure.
func TestSyncopationIsThatOfLonguetHigginsAndLeeOnThe35Patterns(t *testing.T) {
	lhl, ok := measure.Find("lhl")
	require.True(t, ok)
	for _, item := range public(t).Ratings {
		want, err := lhl.Of(item.Phrase)
		require.NoError(t, err)
		assert.Equal(t, want, item.Features[features.Syncopation], item.Phrase.String())
	}
}

func TestTheStarterBankAgainstPublishedSequences(t *testing.T) {
	d, m := public(t), difficulty.DefaultModel()
	var predicted []Placed
	for _, e := range bank.Starter().Entries {
		predicted = append(predicted, Placed{e.Phrase, m.Difficulty(e.Phrase)})
	}
	orders := CompareOrder(d, predicted)
	for _, o := range orders {
		t.Logf("%-18s %2d classes: tau-b %.2f (without ties at most %.2f)", o.Sequence, o.Classes,
			o.Tau, o.Best)
	}
	mean, lowest := MeanAndLowest(orders)
	t.Logf("mean %.2f, lowest %.2f", mean, lowest)
	assert.GreaterOrEqual(t, mean, 0.70)
	assert.GreaterOrEqual(t, lowest, 0.5)
}

func TestContentsOfTheTeachingPhrasesHoldTheirClass(t *testing.T) {
	for _, item := range public(t).Teaching {
		if item.Group == "cross-rhythm" || item.Group == "long-notes" {
			continue // made of other classes; silence at the end is a final rest
		}
		assert.Contains(t, Contents(item.Phrase), item.Group, item.Phrase.String())
	}
}
