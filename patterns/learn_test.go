package patterns

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"clapladder.example/patterns/internal/testphrase"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

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

// answers are outcomes of groups with true levels on phrases with true difficulties: logistic in the middle of a mixed group
// whose people are summed one by one, so that the fit's approximation is not assumed.
func answers(random *rand.Rand, truth map[string]float64, groups, each, people int, noise float64) []bank.Outcome {
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
				if random.Float64() < 1/(1+math.Exp(steepness*(truth[ids[at]]-l))) {
					got += 1 / float64(people)
				}
			}
			share := min(max(got+noise*random.NormFloat64(), 0), 1)
			outcomes = append(outcomes, bank.Outcome{Phrase: ids[at], Group: fmt.Sprint("group ", g), Share: share, People: people})
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
	t.Logf("error before %.2f, after %.2f; %.0f %% inside the 90 %% interval", math.Sqrt(before/n), math.Sqrt(after/n), 100*inside/n)
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
			list = append(list, bank.Outcome{Phrase: e.ID, Group: group, Share: 1 / (1 + math.Exp(-mixSlope*tiers))})
		}
		return list
	}
	lost := bank.Outcome{Phrase: "rung-0", Group: "a", Share: 0}
	one := moved(append(middle("a"), lost)...)
	assert.Positive(t, one, "nobody got it: harder")
	assert.Less(t, one, 3*phraseSD, "one group is not everybody")
	again := moved(append(middle("a"), lost, lost, lost)...)
	two := moved(append(append(middle("a"), middle("b")...), lost, bank.Outcome{Phrase: "rung-0", Group: "b", Share: 0})...)
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
			{Phrase: "rung-1", Group: "a", Share: 0.5}, {Phrase: "rung-2", Group: "a", Share: 0.5}, {Phrase: "rung-3", Group: "a", Share: share},
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
		random.Shuffle(len(outcomes), func(i, j int) { outcomes[i], outcomes[j] = outcomes[j], outcomes[i] })
		second, err := Learn(difficulty.DefaultModel(), called, outcomes)
		require.NoError(t, err)
		byID := map[string]Learned{}
		for _, p := range second.Phrases {
			byID[p.ID] = p
		}
		for _, p := range first.Phrases {
			assert.InDelta(t, p.After, byID[p.ID].After, 1e-5)
			assert.InDelta(t, p.SD, byID[p.ID].SD, 1e-5)
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

// A leader's own world: difficulties are off by 0.8 tiers in all, a share of the variance by the
// weights, the rest phrase by phrase. Twelve warm-ups of 25 people, nine calls each from half of the
// bank, the shares heard with an error of 0.12. From what people do to what is heard nothing of the
// fit is assumed.
func twelveWarmUps(random *rand.Rand, share float64) (truth map[string]float64, called *bank.Bank, outcomes []bank.Outcome) {
	m := difficulty.DefaultModel()
	called = &bank.Bank{}
	for i, e := range bank.Starter().Entries {
		if i%2 == 0 && m.Difficulty(e.Phrase) < 6.5 {
			called.Entries = append(called.Entries, e)
		}
	}
	doubt, _ := m.Doubt()
	var off difficulty.Features
	for k := range off {
		off[k] = doubt[k] * random.NormFloat64()
	}
	var shared []float64
	for _, e := range called.Entries {
		sum := 0.0
		for k, v := range difficulty.FeaturesOf(e.Phrase) {
			sum += off[k] * v
		}
		shared = append(shared, sum)
	}
	mean, sd := stat.PopMeanStdDev(shared, nil)
	byWeights, alone := 0.8*math.Sqrt(share), 0.8*math.Sqrt(1-share)
	truth = map[string]float64{}
	for i, e := range called.Entries {
		truth[e.ID] = m.Difficulty(e.Phrase) + byWeights*(shared[i]-mean)/sd + alone*random.NormFloat64()
	}
	// The leader calls about half of the phrases, again and again.
	order := random.Perm(len(called.Entries))[:len(called.Entries)/2]
	for g := range 12 {
		level := 3.5 + random.NormFloat64()
		people := make([]float64, 25)
		for k := range people {
			people[k] = level + random.NormFloat64()
		}
		for _, at := range random.Perm(len(order))[:9] {
			id, got := called.Entries[order[at]].ID, 0.0
			for _, l := range people {
				if random.Float64() < 1/(1+math.Exp(1.24*(truth[id]-l))) {
					got += 1 / float64(len(people))
				}
			}
			share := min(max(got+0.12*random.NormFloat64(), 0), 1)
			outcomes = append(outcomes, bank.Outcome{
				Phrase: id, Group: fmt.Sprint("group ", g), Share: share, People: len(people),
			})
		}
	}
	return truth, called, outcomes
}

// errors are sums of squares before and after learning, and how many lie inside their interval.
type misses struct{ before, after, inside, n float64 }

func (e *misses) add(p Learned, truth float64) {
	e.before += math.Pow(p.Before-truth, 2)
	e.after += math.Pow(p.After-truth, 2)
	e.n++
	if math.Abs(p.After-truth) < 1.645*p.SD {
		e.inside++
	}
}

// fall is the share of the root mean square error that is left.
func (e *misses) fall() float64 { return math.Sqrt(e.after / e.before) }

func TestTwelveWarmUpsTakeAThirdOffTheError(t *testing.T) {
	for share, most := range map[float64]struct{ called, never float64 }{
		0:   {0.68, 1.05}, // nothing in common: what was never called can't be known better
		0.5: {0.62, 0.90},
		1:   {0.58, 0.75},
	} {
		var called, never misses
		for seed := range uint64(60) {
			truth, bank, outcomes := twelveWarmUps(rand.New(rand.NewPCG(12, seed)), share)
			lesson, err := Learn(difficulty.DefaultModel(), bank, outcomes)
			require.NoError(t, err)
			for _, p := range lesson.Phrases {
				called.add(p, truth[p.ID])
			}
			for _, p := range lesson.Others {
				never.add(p, truth[p.ID])
			}
		}
		t.Logf("%3.0f %% by weights: error of called phrases %.2f, then %.2f; never called %.2f, then %.2f; "+
			"%.0f and %.0f %% inside the 90 %% interval", 100*share,
			math.Sqrt(called.before/called.n), math.Sqrt(called.after/called.n),
			math.Sqrt(never.before/never.n), math.Sqrt(never.after/never.n),
			100*called.inside/called.n, 100*never.inside/never.n)
		assert.InDelta(t, 0.8, math.Sqrt(called.before/called.n), 0.1)
		assert.Less(t, called.fall(), most.called)
		assert.Less(t, never.fall(), most.never)
		assert.Greater(t, called.inside/called.n, 0.85, "stated errors are honest")
		assert.Greater(t, never.inside/never.n, 0.85, "stated errors are honest")
	}
}

func TestLearningTwiceFromTheSameResultsChangesNothing(t *testing.T) {
	m, called := difficulty.DefaultModel(), rungs(6)
	outcomes := []bank.Outcome{{Phrase: "rung-0", Group: "a", Share: 0.1}, {Phrase: "rung-1", Group: "a", Share: 0.9}, {Phrase: "rung-2", Group: "a", Share: 0.8}}
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

func TestLearningNeedsAResultOfTheBank(t *testing.T) {
	_, err := Learn(difficulty.DefaultModel(), rungs(2), []bank.Outcome{{Phrase: "elsewhere", Group: "a", Share: 0.5}})
	assert.ErrorIs(t, err, ErrNothingToLearn)
	lesson, err := Learn(difficulty.DefaultModel(), rungs(2), []bank.Outcome{{Phrase: "elsewhere", Group: "a", Share: 0.5}, {Phrase: "RUNG-1", Group: "a", Share: 0.5}})
	require.NoError(t, err)
	assert.Equal(t, []string{"elsewhere"}, lesson.Unknown)
	assert.Len(t, lesson.Phrases, 1, "IDs are found in any case, as files do")
	for _, bad := range []bank.Outcome{{Phrase: "rung-0", Share: math.NaN()}, {Phrase: "rung-0", Share: 1.1}, {Phrase: "rung-0", SD: -1}, {Phrase: "rung-0", People: -2}} {
		_, err := Learn(difficulty.DefaultModel(), rungs(1), []bank.Outcome{bad})
		assert.Error(t, err)
	}
}

func TestReadOutcomes(t *testing.T) {
	for name, text := range map[string]string{
		"comma":              "phrase,share,group\ngangway,0.8,monday\nbell,25%,monday\n",
		"semicolon, decimal": "group;share;phrase\r\nmonday;0,8;gangway\r\nmonday;25 %;bell\r\n",
		"other columns":      "date,id,share,notes,group\n2026-03-01,gangway,.8,\"wet, cold\",monday\n2026-03-01,bell,0.25,,monday\n",
		"mark and comment":   "\xef\xbb\xbf# spring\nphrase,share,group\ngangway,0.8,monday\n\nbell,0.25,monday",
	} {
		outcomes, err := bank.ReadOutcomes("results.csv", []byte(text))
		require.NoError(t, err, name)
		require.Len(t, outcomes, 2, name)
		assert.Equal(t, "gangway", outcomes[0].Phrase, name)
		assert.Equal(t, "monday", outcomes[1].Group, name)
		assert.InDelta(t, 0.8, outcomes[0].Share, 1e-12, name)
		assert.InDelta(t, 0.25, outcomes[1].Share, 1e-12, name)
	}
	outcomes, err := bank.ReadOutcomes("results.csv", []byte("phrase,share,group,n,sd\nbell,1,a,24,0.1\n"))
	require.NoError(t, err)
	assert.Equal(t, bank.Outcome{Phrase: "bell", Group: "a", Share: 1, People: 24, SD: 0.1, Line: 2}, outcomes[0])
}

func TestReadOutcomesSaysWhatToWriteInstead(t *testing.T) {
	_, err := bank.ReadOutcomes("results.csv", []byte("phrase,share,group\nbell,8,a\n,0.5,a\nbell,0.5,a,\nbell,half,a\n"))
	var file *bank.FileError
	require.True(t, errors.As(err, &file))
	require.Len(t, file.Problems, 3)
	assert.Equal(t, 2, file.Problems[0].Line)
	assert.Equal(t, 6, file.Problems[0].Column)
	assert.Contains(t, file.Problems[0].Advice, "80%")
	assert.Contains(t, file.Problems[1].Message, "names no phrase")
	for name, text := range map[string]string{"empty": "", "no rows": "phrase,share,group\n", "no group": "phrase,share\nbell,1\n", "packed": "PK\x03\x04"} {
		_, err := bank.ReadOutcomes("results.csv", []byte(text))
		assert.True(t, errors.As(err, &file), name)
	}
}

func FuzzReadOutcomes(f *testing.F) {
	f.Add([]byte("phrase,share,group\nbell,0.5,a\n"))
	f.Add([]byte("sep=;\nphrase;share;group;n\nbell;50 %;\"a;b\";3\n"))
	f.Add([]byte("phrase,share,group\n\"bell,0.5,a\n"))
	f.Add([]byte("phrase,share,group\nbell,NaN,a\nbell,1e400,b"))
	f.Fuzz(func(t *testing.T, data []byte) {
		outcomes, err := bank.ReadOutcomes("results.csv", data)
		if err != nil {
			return
		}
		for _, o := range outcomes {
			if !(o.Share >= 0 && o.Share <= 1) || o.Phrase == "" || o.Line < 1 {
				t.Fatalf("%+v", o)
			}
		}
	})
}

func ExampleLearn() {
	called := &bank.Bank{Entries: []bank.Entry{
		{ID: "gangway", Phrase: rhythm.MustParse("x x xx x", "4/4", 96)},
		{ID: "bilge", Phrase: rhythm.MustParse("x x..x x x", "4/4", 80)},
	}}
	outcomes, err := bank.ReadOutcomes("results.csv", []byte("phrase,share,group\ngangway,0.9,tuesday\nbilge,0.1,tuesday\nbilge,0.2,thursday\ngangway,1,thursday\n"))
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
		fmt.Println(p)
	}
	// Output:
	// gangway moves down by 0.8 to 0.9, after 2 answers from 2 groups
	// bilge moves up by 0.8 to 3.1, after 2 answers from 2 groups
}
