package patterns

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"unicode"

	"clapladder.example/patterns/internal/golden"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// A step of the starter bank is a tier of the model, so that a change of the model shows here.
func TestStarterBankHasAtLeastEightPhrasesInEachOfNineTiers(t *testing.T) {
	phrases, m := bank.Starter(), difficulty.DefaultModel()
	perTier := map[int]int{}
	last := 0.0
	for _, e := range phrases.Entries {
		own := m.Difficulty(e.Phrase)
		tier := tierscale.Tier(own)
		require.NotEmpty(t, e.Tags, e.ID)
		assert.Equal(t, fmt.Sprintf("step-%d", tier), e.Tags[0], e.ID)
		perTier[tier]++
		assert.GreaterOrEqual(t, own, last, "%s: the file goes from easy to hard", e.ID)
		last = own
		assert.Zero(t, e.Tier, "%s: the model places the starter bank", e.ID)
		assert.Zero(t, e.Difficulty, e.ID)
	}
	for tier := 1; tier <= 9; tier++ {
		assert.GreaterOrEqual(t, perTier[tier], 8, "tier %d", tier)
	}
	assert.Len(t, perTier, 9)
	assert.Empty(t, phrases.Remarks, "nothing in it may be misread")
}

func TestStarterBankCoversTheMetres(t *testing.T) {
	seen := map[string]bool{}
	for _, e := range bank.Starter().Entries {
		signature, _, _ := strings.Cut(e.Phrase.Meter().String(), "=")
		seen[signature] = true
	}
	for _, want := range []string{"2/4", "3/4", "4/4", "5/4", "6/8", "9/8", "12/8", "5/8", "7/8", "8/8"} {
		assert.True(t, seen[want], want)
	}
}

// The syllables of each name are written out by hand in testdata/starter_syllables.txt, hyphens
// inside words.
func TestStarterNamesHaveOneSyllableForEachStroke(t *testing.T) {
	text, err := os.ReadFile("testdata/starter_syllables.txt")
	require.NoError(t, err)
	written := map[string]string{}
	for line := range strings.Lines(string(text)) {
		id, words, ok := strings.Cut(strings.TrimSpace(line), ": ")
		require.True(t, ok, line)
		written[id] = words
	}
	phrases := bank.Starter()
	assert.Len(t, written, len(phrases.Entries))
	for _, e := range phrases.Entries {
		words := written[e.ID]
		assert.Equal(t, e.Name, strings.ReplaceAll(words, "-", ""), e.ID)
		syllables := strings.FieldsFunc(words, func(r rune) bool { return unicode.IsSpace(r) || r == '-' })
		assert.Len(t, e.Phrase.Strokes(), len(syllables), "%s: %s", e.ID, words)
	}
}

// gaps are the times between strokes in seconds: all that can be heard of a phrase when nobody
// knows where its bar begins and the silence at its end can't be told from waiting.
func gaps(p rhythm.Phrase) []float64 {
	strokes := p.Strokes()
	out := make([]float64, len(strokes)-1)
	for i := range out {
		out[i] = p.Seconds(strokes[i+1].Step - strokes[i].Step)
	}
	return out
}

// alike reports whether the gaps of a are the first gaps of b played up to 1.6 times faster or
// slower.
func alike(a, b []float64) bool {
	if len(a) > len(b) {
		return false
	}
	speed := b[0] / a[0]
	for i := range a {
		if math.Abs(b[i]/a[i]/speed-1) > 1e-9 {
			return false
		}
	}
	return speed < 1.6 && speed > 1/1.6
}

func TestNoTwoStarterPhrasesSoundTheSame(t *testing.T) {
	entries := bank.Starter().Entries
	var beginnings []string
	for _, a := range entries {
		for _, b := range entries {
			ga, gb := gaps(a.Phrase), gaps(b.Phrase)
			if a.ID == b.ID || !alike(ga, gb) {
				continue
			}
			assert.NotEqual(t, len(ga), len(gb), "%s and %s can't be told apart", a.ID, b.ID)
			beginnings = append(beginnings, a.ID+" begins "+b.ID)
		}
	}
	slices.Sort(beginnings)
	golden.Compare(t, "starter_beginnings.txt", strings.Join(beginnings, "\n")+"\n")
}

func TestStarterPhrasesAreShortEnoughToRemember(t *testing.T) {
	for _, e := range bank.Starter().Entries {
		assert.LessOrEqual(t, e.Phrase.Bars(), 4, e.ID)
		assert.LessOrEqual(t, e.Phrase.Beats(), 12, e.ID)
		assert.GreaterOrEqual(t, len(e.Phrase.Strokes()), 3, e.ID)
		assert.LessOrEqual(t, e.Phrase.Duration(), 8.0, e.ID)
	}
}

func TestStarterRepertoireOffersMoreThanOneWayIn(t *testing.T) {
	r := bank.StarterRepertoire()
	assert.GreaterOrEqual(t, len(r.Pieces), 12)
	assert.Empty(t, r.Remarks)
	for _, p := range r.Pieces {
		roles := map[bank.Role]int{}
		for _, part := range p.Parts {
			roles[part.Role]++
		}
		assert.Equal(t, 1, roles[bank.Core], p.ID)
		assert.NotZero(t, roles[bank.Support]+roles[bank.Lead], p.ID)
		assert.NotEmpty(t, p.Notes, p.ID)
		assert.GreaterOrEqual(t, len(p.Tags), 3, p.ID)
		assert.Equal(t, bank.Core, p.Core().Role, p.ID)
		assert.NotEmpty(t, p.Core().Phrase.Strokes(), p.ID)
	}
}

// The parts must keep their promise by the model too; half a tier is less than it can tell.
func TestStarterSupportIsEasierAndLeadHarderThanTheCore(t *testing.T) {
	m := difficulty.DefaultModel()
	tiers := map[int]bool{}
	for _, p := range bank.StarterRepertoire().Pieces {
		core := m.Difficulty(p.Core().Phrase)
		tiers[max(1, int(math.Round(core)))] = true
		for _, part := range p.Parts {
			d := m.Difficulty(part.Phrase)
			switch part.Role {
			case bank.Support:
				assert.Less(t, d, core+0.5, "%s, %s", p.ID, part.Name)
			case bank.Lead:
				assert.Greater(t, d, core-0.5, "%s, %s", p.ID, part.Name)
			}
		}
	}
	assert.GreaterOrEqual(t, len(tiers), 7, "the pieces are spread over the tiers: %v", tiers)
	assert.True(t, tiers[1] && (tiers[8] || tiers[9]), "from the first to the last: %v", tiers)
}

func TestStarterPartsOfAPieceFitTogether(t *testing.T) {
	for _, p := range bank.StarterRepertoire().Pieces {
		core := p.Core().Phrase.Duration()
		for _, part := range p.Parts {
			ratio := part.Phrase.Duration() / core
			if ratio < 1 {
				ratio = 1 / ratio
			}
			assert.InDelta(t, float64(int(ratio+0.5)), ratio, 1e-9,
				"%s, %s: one cycle is not a whole number of the other", p.ID, part.Name)
		}
	}
}

func TestStarterResultsBelongToTheCaller(t *testing.T) {
	phrases, repertoire := bank.Starter(), bank.StarterRepertoire()
	phrases.Entries[0].ID, repertoire.Pieces[0].ID = "changed", "changed"
	assert.Equal(t, "tie-fast", bank.Starter().Entries[0].ID)
	assert.Equal(t, "still-water", bank.StarterRepertoire().Pieces[0].ID)
	text := bank.StarterText()
	text[0] = '!'
	assert.NotEqual(t, text[0], bank.StarterText()[0])
	assert.NotEmpty(t, bank.StarterRepertoireText())
}
