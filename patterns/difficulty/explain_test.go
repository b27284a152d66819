package difficulty

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/patterns/internal/golden"
	"clapladder.example/patterns/internal/testphrase"
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
			fmt.Fprintf(&text,
				"  %+.2f %s: %s\n        goes wrong: %s\n        helps: %s\n        [%s]\n",
				r.Tiers, r.Feature, r.Text, r.Error, r.Hint, r.Source)
		}
	}
	golden.Compare(t, "explanations.txt", text.String())
}

func TestReasonsAddUpToTheDifficulty(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	for _, m := range []*Model{DefaultModel(), DefaultModel().Raised(1.3)} {
		for range 300 {
			p := testphrase.Random(random)
			e := m.Explain(p)
			sum := e.Plain + e.Limit
			for i, r := range e.Reasons {
				sum += r.Tiers
				assert.True(t, i == 0 || e.Reasons[i-1].Tiers >= r.Tiers, "hardest first")
			}
			assert.InDelta(t, e.Difficulty, sum, 1e-9, p.String())
			assert.Equal(t, m.Difficulty(p), e.Difficulty)
			assert.Equal(t, e.Limit == 0, m.Unlimited(p) == e.Difficulty)
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
			assert.True(t, r.Text != "" || r.Tiers < 0, "%s of %s", r.Feature, p)
			assert.Equal(t, r.Tiers < 0, r.Error == "", "what is easier needs no help")
			assert.NotContains(t, r.Text, "%!")
			for _, place := range r.Places {
				assert.NotEmpty(t, place.Text)
			}
		}
	}
}

func ExampleModel_Explain() {
	p := rhythm.MustParse("xx .x x x", "4/4", 96)
	for _, r := range DefaultModel().Explain(p).Reasons {
		fmt.Printf("+%.1f %s: %s\n", r.Tiers, r.Feature, r.Text)
	}
	// Output:
	// +0.5 division: beat 1 is divided by 2; beat 2 is divided by 2
	// +0.5 off-beats: the clap on the “and” of 1; the clap on the “and” of 2
	// +0.2 changes: 2 lengths of gap between strokes, changing 3 times
	// +0.1 syncopation: the clap on the “and” of 1 is held over beat 2
	// +0.1 silent beats: nothing on beat 2, the next stroke is on the “and” of 2
}
