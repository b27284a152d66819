package difficulty

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"clapladder.example/patterns/internal/testphrase"
	"clapladder.example/patterns/tierscale"

	"clapladder.example/patterns/internal/golden"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// explained are phrases that between them have every kind of cause.
var explained = []struct {
	notation, meter string
	tempo           float64
}{
	{"x x x .", "4/4", 96},
	{"x..x ..x. ..x. x...", "4/4", 96},
	{"x x xx x | .x xx . x", "4/4", 140},
	{"x.x .xx", "6/8", 50},
	{"xx xx x.x | x. x. x..", "7/8=2+2+3", 120},
	{"x xx x x xx", "5/4=3+2", 100},
	{"x xxx xxxx X", "4/4", 96},
	{"s xX p .X", "4/4", 96},
	{"x xxx x x", "4/4", 96},
}

func TestExplanationsInWords(t *testing.T) {
	var text strings.Builder
	for _, c := range explained {
		p := rhythm.MustParse(c.notation, c.meter, c.tempo)
		e := DefaultModel().Explain(p)
		fmt.Fprintf(&text, "%s, %s at %g: %.2f\n", p, c.meter, c.tempo, e.Difficulty)
		for _, r := range e.Reasons {
			fmt.Fprintf(&text, "  +%.2f %s: %s\n        goes wrong: %s\n        helps: %s\n        [%s]\n", r.Tiers, r.Feature, r.Text, r.Error, r.Hint, r.Source)
		}
	}
	golden.Compare(t, "explanations.txt", text.String())
}

func TestContributionsAddUpToTheDifficulty(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	m := DefaultModel()
	for range 300 {
		p := testphrase.Random(random)
		e := m.Explain(p)
		sum := 1.0
		for i, c := range e.Contributions {
			sum += c.Tiers
			assert.True(t, i == 0 || e.Contributions[i-1].Tiers >= c.Tiers, "hardest first")
		}
		assert.InDelta(t, e.Difficulty, tierscale.Clamp(sum), 1e-9, p.String())
		assert.Equal(t, m.Difficulty(p), e.Difficulty)
	}
}

// What is measured with places kept must be what is measured without.
func TestPlacesAddUpToTheFeature(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	for range 300 {
		p := testphrase.Random(random)
		var causes []cause
		w := walk{causes: &causes}
		w.run(p)
		fast := FeaturesOf(p)
		var sum Features
		for _, c := range causes {
			sum[c.feature] += c.amount
			assert.True(t, c.from >= 0 && c.from < c.to && c.to <= p.Steps(), "%v in %s", c, p)
		}
		sum[Length] = spanLength(sum[Length])
		for f := range sum {
			assert.InDelta(t, fast[f], w.values[f], 1e-9)
			assert.InDelta(t, fast[f], sum[f], 1e-9, "%s of %s", Feature(f), p)
		}
	}
}

func TestEveryReasonHasWordsAndASource(t *testing.T) {
	for kind, a := range adviceFor {
		assert.NotEmpty(t, a.err, kind)
		assert.NotEmpty(t, a.hint, kind)
		assert.NotEmpty(t, a.source, kind)
	}
	random := rand.New(rand.NewPCG(9, 8))
	for range 300 {
		p := testphrase.Random(random)
		for _, r := range DefaultModel().Explain(p).Reasons {
			assert.NotEmpty(t, r.Text, "%s of %s", r.Feature, p)
			assert.NotContains(t, r.Text, "%!")
			for _, place := range r.Places {
				assert.NotEmpty(t, place.Text)
			}
		}
	}
}

func TestFeaturesHaveNames(t *testing.T) {
	for f := range Feature(FeatureCount) {
		text, err := f.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, f.String(), string(text))
	}
	_, err := Feature(FeatureCount).MarshalText()
	assert.Error(t, err)
}

func ExampleModel_Explain() {
	p := rhythm.MustParse("xx .x x x", "4/4", 96)
	for _, r := range DefaultModel().Explain(p).Reasons {
		fmt.Printf("+%.1f %s: %s\n", r.Tiers, r.Feature, r.Text)
	}
	// Output:
	// +0.6 variety: 2 lengths of gap between strokes, changing 3 times
	// +0.6 division: beat 1 is divided by 2; beat 2 is divided by 2
	// +0.2 length: 4 beats to remember
	// +0.2 silent beats: nothing on beat 2, the next stroke is on the “and” of 2
	// +0.2 syncopation: the clap on the “and” of 1 is held over beat 2
}

func TestEveryFeatureHasAReasonAndASource(t *testing.T) {
	for f := range Feature(FeatureCount) {
		reason, source := f.Reason()
		assert.NotEmpty(t, reason, f)
		assert.NotEmpty(t, source, f)
	}
	reason, _ := Feature(FeatureCount).Reason()
	assert.Empty(t, reason)
}
