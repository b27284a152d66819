package patterns

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"clapladder.example/patterns/internal/testphrase"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// rungs is a bank of n phrases whose predicted difficulties differ.
func rungs(n int) *bank.Bank {
	b := &bank.Bank{}
	for i, p := range testphrase.OneBar()[:n] {
		b.Entries = append(b.Entries, bank.Entry{ID: fmt.Sprintf("rung-%d", i), Phrase: p})
	}
	return b
}

// answers are outcomes of groups with true levels on phrases with true difficulties: logistic in
// the middle of a mixed group whose people are summed one by one, so that the fit's approximation
// is not assumed.
func answers(random *rand.Rand, truth map[string]float64, groups, each, people int,
	noise float64,
) []bank.Outcome {
	var ids []string
	for i := range len(truth) {
		ids = append(ids, fmt.Sprintf("rung-%d", i))
	}
	var outcomes []bank.Outcome
	for g := range groups {
		level := 2.8 + 1.2*random.NormFloat64()
		levels := make([]float64, people)
		for k := range levels {
			levels[k] = level + mixSD*random.NormFloat64()
		}
		for _, at := range random.Perm(len(ids))[:each] {
			got := 0.0
			for _, l := range levels {
				if random.Float64() < 1/(1+math.Exp(assumedSteep*(truth[ids[at]]-l))) {
					got += 1 / float64(people)
				}
			}
			share := min(max(got+noise*random.NormFloat64(), 0), 1)
			outcomes = append(outcomes, bank.Outcome{
				Phrase: ids[at], Group: fmt.Sprint("group ", g), Share: share, People: people,
			})
		}
	}
	return outcomes
}

func TestLearningComesNearerToTheTruthThanThePrediction(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	m, called := difficulty.DefaultModel(), rungs(30)
	truth := map[string]float64{}
	for _, e := range called.Entries {
		truth[e.ID] = m.Difficulty(e.Phrase) + m.SD(e.Phrase)*random.NormFloat64()
	}
	lesson, err := Learn(m, called, answers(random, truth, 40, 8, 20, 0.1))
	require.NoError(t, err)
	var before, after, inside float64
	for _, p := range lesson.Phrases {
		before += math.Pow(p.Before-truth[p.ID], 2)
		after += math.Pow(p.After-truth[p.ID], 2)
		if math.Abs(p.After-truth[p.ID]) < 1.645*p.SD {
			inside++
		}
	}
	n := float64(len(lesson.Phrases))
	t.Logf("error before %.2f, after %.2f; %.0f %% inside the 90 %% interval", math.Sqrt(before/n),
		math.Sqrt(after/n), 100*inside/n)
	assert.Less(t, after, 0.44*before, "the error falls by a third")
	assert.Greater(t, inside/n, 0.75, "stated errors are honest")
}

func TestAFewAnswersMoveAPhraseLittle(t *testing.T) {
	m, called := difficulty.DefaultModel(), rungs(10)
	moved := func(outcomes ...bank.Outcome) float64 {
		lesson, err := Learn(m, called, outcomes)
		require.NoError(t, err)
		return lesson.Phrases[0].Moved
	}
	middle := func(group string) []bank.Outcome { // places the group at the middle of the bank
		var list []bank.Outcome
		for _, e := range called.Entries[1:] {
			tiers := median(difficulties(m, called)) - m.Difficulty(e.Phrase)
			list = append(list, bank.Outcome{
				Phrase: e.ID, Group: group,
				Share: 1 / (1 + math.Exp(-mixSlope*tiers)),
			})
		}
		return list
	}
	lost := bank.Outcome{Phrase: "rung-0", Group: "a", Share: 0}
	one := moved(append(middle("a"), lost)...)
	assert.Positive(t, one, "nobody got it: harder")
	assert.Less(t, one, 3*phraseSD, "one group is not everybody")
	again := moved(append(middle("a"), lost, lost, lost)...)
	two := moved(append(append(middle("a"), middle("b")...), lost, bank.Outcome{
		Phrase: "rung-0",
		Group:  "b", Share: 0,
	})...)
	assert.GreaterOrEqual(t, again, one)
	assert.Greater(t, two, again, "a second group says more than the same one three times")
}

func difficulties(m *difficulty.Model, b *bank.Bank) []float64 {
	var list []float64
	for _, e := range b.Entries {
		list = append(list, m.Difficulty(e.Phrase))
	}
	return list
}

func TestAHigherShareNeverMakesAPhraseHarder(t *testing.T) {
	last := math.Inf(1)
	for share := 0.0; share <= 1; share += 0.1 {
		lesson, err := Learn(difficulty.DefaultModel(), rungs(5), []bank.Outcome{
			{Phrase: "rung-1", Group: "a", Share: 0.5}, {
				Phrase: "rung-2", Group: "a",
				Share: 0.5,
			}, {Phrase: "rung-3", Group: "a", Share: share},
		})
		require.NoError(t, err)
		for _, p := range lesson.Phrases {
			if p.ID == "rung-3" {
				assert.Less(t, p.After, last)
				last = p.After
			}
		}
	}
}

// Where one side is taken out of the equations the result must not depend on which.
func TestTheOrderOfResultsDoesNotMatter(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	called, truth := rungs(12), map[string]float64{}
	for i, e := range called.Entries {
		truth[e.ID] = 3 + float64(i)/4
	}
	for _, groups := range []int{4, 30} { // fewer and more groups than phrases
		outcomes := answers(random, truth, groups, 6, 15, 0.1)
		first, err := Learn(difficulty.DefaultModel(), called, outcomes)
		require.NoError(t, err)
		random.Shuffle(len(outcomes), func(i, j int) {
			outcomes[i], outcomes[j] = outcomes[j],
				outcomes[i]
		})
		second, err := Learn(difficulty.DefaultModel(), called, outcomes)
		require.NoError(t, err)
		byID := map[string]Learned{}
		for _, p := range second.Phrases {
			byID[p.ID] = p
		}
		for _, p := range first.Phrases {
			assert.InDelta(t, p.After, byID[p.ID].After, 1e-3)
			assert.InDelta(t, p.SD, byID[p.ID].SD, 1e-3)
		}
	}
}

// At the best place every single step costs, of a weight, a phrase or a group.
func TestTheFitIsAMinimum(t *testing.T) {
	f := newFitting(difficulty.DefaultModel(), GradeBank(difficulty.DefaultModel(), rungs(3)))
	require.NoError(t, f.gather([]bank.Outcome{
		{Phrase: "rung-0", Group: "a", Share: 0.9},
		{Phrase: "rung-1", Group: "a", Share: 0.4},
		{Phrase: "rung-1", Group: "b", Share: 0.6},
		{Phrase: "rung-2", Group: "b", Share: 0.2},
		{Phrase: "rung-2", Group: "a", Share: 0.3},
	}, &Lesson{}))
	_, err := f.solve()
	require.NoError(t, err)
	best := f.cost()
	uphill := func(value *float64) {
		for _, s := range []float64{-1e-4, 1e-4} {
			*value += s
			assert.GreaterOrEqual(t, f.cost(), best)
			*value -= s
		}
	}
	for k := range f.weights {
		uphill(&f.weights[k])
	}
	for side := range f.sides {
		for i := range f.sides[side] {
			u := &f.sides[side][i]
			uphill(&u.value)
			before := u.sd
			if side == phraseSide {
				for k, tilt := range f.tilts[u.index] {
					before = math.Hypot(before, tilt*f.doubt[k])
				}
			}
			assert.Less(t, u.error, before, "results make surer")
			assert.Positive(t, u.error)
		}
	}
}

func TestLearningTwiceFromTheSameResultsChangesNothing(t *testing.T) {
	m, called := difficulty.DefaultModel(), rungs(6)
	outcomes := []bank.Outcome{{Phrase: "rung-0", Group: "a", Share: 0.1}, {
		Phrase: "rung-1",
		Group:  "a", Share: 0.9,
	}, {Phrase: "rung-2", Group: "a", Share: 0.8}}
	first, err := Learn(m, called, outcomes)
	require.NoError(t, err)
	for _, pin := range first.Pins(called, 0) {
		for i := range called.Entries {
			if called.Entries[i].ID == pin.ID {
				called.Entries[i].Difficulty = pin.Difficulty
			}
		}
	}
	second, err := Learn(m, called, outcomes)
	require.NoError(t, err)
	for _, p := range second.Phrases {
		assert.InDelta(t, 0, p.Moved, 0.0051, "but for the two decimals of the file")
	}
}

// Phrases far from anything called get no errors that a bank can't hold.
func TestWhatIsLearnedCanBeWrittenWhateverTheBank(t *testing.T) {
	called := rungs(3)
	bar := strings.Repeat("x.xx.x.xx.xx.x.x ", 8)
	long := rhythm.MustParse(strings.TrimSuffix(strings.Repeat(bar+"|", 64), "|"), "8/4", 96)
	called.Entries = append(called.Entries, bank.Entry{ID: "endless", Phrase: long})
	text, err := called.EncodeTOML()
	require.NoError(t, err)
	lesson, err := Learn(difficulty.DefaultModel(), called, []bank.Outcome{
		{Phrase: "rung-0", Group: "a", Share: 0}, {Phrase: "rung-1", Group: "a", Share: 1},
	})
	require.NoError(t, err)
	_, err = bank.SetPins("bank.toml", text, lesson.Pins(called, 0))
	assert.NoError(t, err)
}

func TestLearningNeedsAResultOfTheBank(t *testing.T) {
	_, err := Learn(difficulty.DefaultModel(), rungs(2), []bank.Outcome{{
		Phrase: "elsewhere",
		Group:  "a", Share: 0.5,
	}})
	assert.ErrorIs(t, err, ErrNothingToLearn)
	lesson, err := Learn(difficulty.DefaultModel(), rungs(2), []bank.Outcome{{
		Phrase: "elsewhere",
		Group:  "a", Share: 0.5,
	}, {Phrase: "RUNG-1", Group: "a", Share: 0.5}})
	require.NoError(t, err)
	assert.Equal(t, []string{"elsewhere"}, lesson.Unknown)
	assert.Len(t, lesson.Phrases, 1, "IDs are found in any case, as files do")
	for _, bad := range []bank.Outcome{{Phrase: "rung-0", Share: math.NaN()}, {
		Phrase: "rung-0",
		Share:  1.1,
	}, {Phrase: "rung-0", SD: -1}, {Phrase: "rung-0", People: -2}} {
		_, err := Learn(difficulty.DefaultModel(), rungs(1), []bank.Outcome{bad})
		assert.Error(t, err)
	}
}

func ExampleLearn() {
	called := &bank.Bank{Entries: []bank.Entry{
		{ID: "gangway", Phrase: rhythm.MustParse("x x xx x", "4/4", 96)},
		{ID: "bilge", Phrase: rhythm.MustParse("x x..x x x", "4/4", 80)},
	}}
	outcomes, err := bank.ReadOutcomes("results.csv",
		[]byte("phrase,share,group\ngangway,0.9,tuesday\nbilge,0.1,tuesday\nbilge,0.2,thursday\ngangway,1,thursday\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	lesson, err := Learn(difficulty.DefaultModel(), called, outcomes)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range lesson.Phrases {
		fmt.Printf("%s %+.1f to %.1f, after %d outcomes\n", p.ID, p.Moved, p.After, p.Outcomes)
	}
	// Output:
	// gangway -0.9 to 0.8, after 2 outcomes
	// bilge +0.8 to 3.2, after 2 outcomes
}
