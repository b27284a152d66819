package fit

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm/measure"
)

const folder = "../../../../patterns/testdata/ratings"

func public(t testing.TB) *Data {
	d, err := ReadFolder(folder)
	require.NoError(t, err)
	return d
}

func TestTheDataAreWhole(t *testing.T) {
	d := public(t)
	assert.Len(t, d.Ratings, 35)
	assert.Len(t, d.Later, 24)
	assert.Len(t, d.Index, 30)
	assert.Len(t, d.Metric, 60)
	assert.Len(t, d.Sequences(), 9)
	// Published means: metric simple 74 per cent correct, complex 53 (Grahn & Brett 2007); 5 patterns a category (Povel & Essens 1985).
	assert.Equal(t, 74.0, d.condition("metric_simple")[0].Value)
	assert.Equal(t, 53.0, d.condition("metric_complex")[0].Value)
	assert.Len(t, d.CategoryMeans(difficulty.Features{}), 7)
}

// The model that comes with the package, on the public data. The pass rates behind its scale are not public.
func TestTheDefaultModelOnPublicData(t *testing.T) {
	d, w := public(t), difficulty.DefaultModel().Weights()
	rho, low, high := Correlate(Predict(w, d.Ratings))
	t.Logf("35 ratings: rho %.2f [%.2f, %.2f]", rho, low, high)
	assert.Greater(t, rho, 0.76)
	rho, low, high = Correlate(Predict(w, d.Index))
	t.Logf("Fitch & Rosenfeld index: rho %.2f [%.2f, %.2f]", rho, low, high)
	assert.Greater(t, rho, 0.90)
	auc, difference := d.MetricAUC(w)
	t.Logf("metric simple against complex: AUC %.3f, %.2f logits apart", auc, difference)
	assert.Greater(t, auc, 0.98)
	assert.InDelta(t, 0.93, difference, 0.15, "published: logit of 74 per cent less logit of 53 per cent")
	means := d.CategoryMeans(w)
	t.Logf("category means %.2f", means)
	assert.True(t, slices.IsSorted(means), "the better the clock, the easier (Povel & Essens 1985)")
}

func TestARatingThatTheFitHasNotSeen(t *testing.T) {
	rho, low, high := Correlate(LeaveOneRatingOut(public(t), DefaultSettings()))
	t.Logf("35 ratings, each left out once: rho %.2f [%.2f, %.2f]", rho, low, high)
	assert.Greater(t, rho, 0.75)
}

func TestRatingsThatTheFitHasNotSeenAtAll(t *testing.T) {
	d := public(t)
	rest := *d
	rest.Ratings = nil
	rho, _, _ := Correlate(Predict(Weights(&rest, DefaultSettings()), d.Ratings))
	assert.Greater(t, rho, 0.72)
}

// Without the pass rates the weights come out near those with them: they do not hang on 20 rhythms.
func TestThePublicDataAloneGiveSimilarWeights(t *testing.T) {
	w, full, s := Weights(public(t), DefaultSettings()), difficulty.DefaultModel().Weights(), DefaultSettings()
	for i := range w {
		assert.InDelta(t, full[i], w[i], 2*s.PriorSD[i], difficulty.Feature(i).String())
		assert.GreaterOrEqual(t, w[i], 0.0)
	}
}

// On patterns without long gaps the feature is the published measure.
func TestSyncopationIsThatOfLonguetHigginsAndLeeOnThe35Patterns(t *testing.T) {
	lhl, ok := measure.Find("lhl")
	require.True(t, ok)
	for _, item := range public(t).Ratings {
		want, err := lhl.Of(item.Phrase)
		require.NoError(t, err)
		assert.Equal(t, want, item.Features[difficulty.Syncopation], item.Phrase.String())
	}
}

func TestTheStarterBankAgainstPublishedSequences(t *testing.T) {
	d, m := public(t), difficulty.DefaultModel()
	var steps, predicted []Placed
	for _, e := range bank.Starter().Entries {
		steps = append(steps, Placed{e.Phrase, float64(e.Tags[0][len("step-")] - '0')})
		predicted = append(predicted, Placed{e.Phrase, m.Difficulty(e.Phrase)})
	}
	own, ours := CompareOrder(d, steps), CompareOrder(d, predicted)
	for i := range own {
		t.Logf("%-18s %2d classes: tau-b of its steps %.2f, of the prediction %.2f (no order without ties reaches more than %.2f)",
			own[i].Sequence, own[i].Classes, own[i].Tau, ours[i].Tau, own[i].Best)
	}
	mean, lowest := MeanAndLowest(own)
	t.Logf("steps: mean %.2f, lowest %.2f", mean, lowest)
	assert.GreaterOrEqual(t, mean, 0.7)
	assert.GreaterOrEqual(t, lowest, 0.5)
	mean, lowest = MeanAndLowest(ours)
	t.Logf("prediction: mean %.2f, lowest %.2f", mean, lowest)
	assert.GreaterOrEqual(t, mean, 0.65)
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
