package history

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"clapladder.example/patterns/bank"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ladder is a bank whose phrases have placed difficulties from 1 to 8.
func ladder(t testing.TB) *bank.Bank {
	text := ""
	for i, rhythm := range []string{
		"x x x x", "x x x .", "x x xx x", "xx x xx x", "xx . x x", "x xx . x", "x. xx .x x", "xxxx x x x",
		"x.xx x x x", "xx.x xx x x", ".x x x x", "x .x .x x", ".x .x x x", "x.xx .x x .x", "..xx .x. x x",
	} {
		text += fmt.Sprintf("[[phrase]]\nid = \"rung-%d\"\nmeter = \"4/4\"\nrhythm = %q\n"+
			"difficulty = %.1f\n", i, rhythm, 1+0.5*float64(i))
	}
	bank, err := bank.Load("ladder.toml", []byte(text))
	require.NoError(t, err)
	return bank
}

// warmUp simulates a date: people with abilities about a level answer some phrases
// of a bank with the logistic item model.
func warmUp(rng *rand.Rand, bank *bank.Bank, day int, level float64) Record {
	r := record("Lunch clappers", 0)
	r.Date = r.Date.AddDate(0, 0, day)
	r.Rounds = nil
	for _, i := range rng.Perm(len(bank.Entries))[:8] {
		e := bank.Entries[i]
		difficulty := e.Difficulty + 0.3*rng.NormFloat64()
		got := 0
		for range r.People {
			if rng.Float64() < 1/(1+math.Exp(-1.1*(level+1.1*rng.NormFloat64()-difficulty))) {
				got++
			}
		}
		share := min(max(float64(got)/float64(r.People)+0.1*rng.NormFloat64(), 0), 1)
		r.Rounds = append(r.Rounds, Round{
			Phrase: new(e.ID), Notation: e.Phrase.String(), Meter: "4/4", Tempo: 96,
			Share: &share, ShareSD: 0.1, Difficulty: e.Difficulty, Attempt: 1, Confidence: 0.97,
		})
	}
	return r
}

// term simulates the dates of one group whose level rises by so much in all.
func term(rng *rand.Rand, bank *bank.Bank, dates int, rise float64) []Record {
	start := 3.5 + rng.NormFloat64()
	var records []Record
	for k := range dates {
		records = append(records, warmUp(rng, bank, 14*k, start+rise*float64(k)/float64(dates-1)))
	}
	return records
}

func trendOf(t testing.TB, records []Record, bank *bank.Bank) *Trend {
	trend, err := NewTrend(records, "lunch CLAPPERS", NewScale(nil, bank))
	require.NoError(t, err)
	return trend
}

func TestTrendSaysUpForGroupsThatRoseAndSeldomForThoseThatDidNot(t *testing.T) {
	bank := ladder(t)
	const groups = 10
	for _, c := range []struct {
		rise         float64
		least, most  int // groups said to have risen
		downAtMost   int
		withinChange float64
	}{
		{2, 8, groups, 0, 0.5},
		{0, 0, 3, 3, 0.5},
	} {
		rng := rand.New(rand.NewPCG(4, 9))
		up, down, off := 0, 0, 0.0
		for range groups {
			trend := trendOf(t, term(rng, bank, 6, c.rise), bank)
			require.Len(t, trend.Points, 6)
			switch trend.Direction {
			case Up:
				up++
			case Down:
				down++
			}
			off += (trend.Change - c.rise) / groups
		}
		assert.GreaterOrEqual(t, up, c.least, "rise %g", c.rise)
		assert.LessOrEqual(t, up, c.most, "rise %g", c.rise)
		assert.LessOrEqual(t, down, c.downAtMost, "rise %g", c.rise)
		assert.InDelta(t, 0, off, c.withinChange, "rise %g: no bias", c.rise)
	}
}

func TestLevelsAreReEstimatedSoThatLearningFakesNoTrend(t *testing.T) {
	bank := ladder(t)
	records := term(rand.New(rand.NewPCG(1, 1)), bank, 6, 0)
	want := trendOf(t, records, bank)
	for k := range records { // the difficulties used at the time rose by three tiers over the term
		for i := range records[k].Rounds {
			records[k].Rounds[i].Difficulty += 0.6 * float64(k)
		}
		records[k].Estimate = &Estimate{Ability: float64(k) * 3, AbilitySD: 0.1}
	}
	assert.Equal(t, want, trendOf(t, records, bank))
}

func TestAHarderScaleMovesAllLevelsAlike(t *testing.T) {
	bank := ladder(t)
	records := term(rand.New(rand.NewPCG(2, 1)), bank, 4, 1)
	before := trendOf(t, records, bank)
	for i := range bank.Entries {
		bank.Entries[i].Difficulty += 2
	}
	after := trendOf(t, records, bank)
	for i := range before.Points {
		assert.InDelta(t, before.Points[i].Level+2, after.Points[i].Level, 0.1)
	}
	assert.InDelta(t, before.Change, after.Change, 0.1)
}

func TestPhraseThatWasEditedIsGradedAsItWasCalled(t *testing.T) {
	bank := ladder(t)
	scale := NewScale(nil, bank)
	round := record("", 0).Rounds[0]
	round.Phrase = new("rung-14")
	byModel, _, err := scale.Difficulty(round)
	require.NoError(t, err)
	assert.Less(t, byModel, 4.0, "plain beats, whatever the bank has under that id now")
	round.Notation = bank.Entries[14].Phrase.String()
	inBank, sd, err := scale.Difficulty(round)
	require.NoError(t, err)
	assert.Equal(t, 8.0, inBank)
	assert.Positive(t, sd)
	round.Notation = "?"
	_, _, err = scale.Difficulty(round)
	assert.Error(t, err)
}

func TestTrendNeedsTwoDatesWithEnoughRounds(t *testing.T) {
	bank := ladder(t)
	rng := rand.New(rand.NewPCG(3, 1))
	short := warmUp(rng, bank, 0, 4)
	short.Rounds = short.Rounds[:3]
	none := trendOf(t, []Record{short, record("Night tide", 0)}, bank)
	assert.Equal(t, Unclear, none.Direction)
	assert.Equal(t, 1, none.Skipped)
	assert.Empty(t, none.Points)
	assert.Equal(t, "no date with enough rounds yet; four usable calls make one", none.Text)
	assert.Empty(t, Sparkline(none.Points))
	_, ok := none.Prior(time.Now())
	assert.False(t, ok)

	day := warmUp(rng, bank, 5, 4)
	one := trendOf(t, []Record{day, day}, bank)
	assert.Equal(t, "one date so far; a trend needs two", one.Text, "twice the same moment is one date")
}

func TestDatesAreSortedAndIntervalsHoldTheLevel(t *testing.T) {
	bank := ladder(t)
	records := term(rand.New(rand.NewPCG(6, 1)), bank, 5, 1)
	sorted := trendOf(t, records, bank)
	records[0], records[3] = records[3], records[0]
	assert.Equal(t, sorted, trendOf(t, records, bank))
	for _, p := range sorted.Points {
		assert.Less(t, p.Low, p.Level)
		assert.Greater(t, p.High, p.Level)
		assert.LessOrEqual(t, (p.High-p.Low)/(2*normal95), p.SD+0.05)
		assert.Equal(t, 8, p.Rounds)
	}
	assert.Len(t, []rune(Sparkline(sorted.Points)), 5)
}

// The line is checked against a worked example by hand: levels 1, 2, 4 on days 0,
// 10, 20 with equal errors 0.5 give slope 0.15 a day, so 3 over the span; the
// slope's variance is 0.25/200, so the change errs by 20·√(0.25/200).
func TestLineIsThatOfWeightedLeastSquares(t *testing.T) {
	start := time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	points := []Point{
		{Date: start, Level: 1, SD: 0.5},
		{Date: start.AddDate(0, 0, 10), Level: 2, SD: 0.5},
		{Date: start.AddDate(0, 0, 20), Level: 4, SD: 0.5},
	}
	change, sd := fitChange(points)
	assert.InDelta(t, 3, change, 1e-12)
	assert.InDelta(t, 20*math.Sqrt(0.25/200), sd, 1e-12)

	// Two points: the difference, with the errors added in quadrature.
	change, sd = fitChange([]Point{
		{Date: start, Level: 1, SD: 0.3},
		{Date: start.AddDate(0, 1, 0), Level: 2.5, SD: 0.4},
	})
	assert.InDelta(t, 1.5, change, 1e-12)
	assert.InDelta(t, 0.5, sd, 1e-12)

	// Four that scatter far more than their errors say: the error grows.
	wild := append(points, Point{Date: start.AddDate(0, 0, 30), Level: -9, SD: 0.5})
	_, sd = fitChange(wild)
	assert.Greater(t, sd, 5.0)
}

func TestStatementsSayWhatTheNumbersSay(t *testing.T) {
	start := time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		rise, sd float64
		want     Direction
		text     string
	}{
		{1.5, 0.3, Up, "up by about 1.5 tiers since 1 March 2026, 99 % sure that it rose"},
		{-1.5, 0.3, Down, "down by about 1.5 tiers since 1 March 2026, 99 % sure that it fell"},
		{0.05, 0.2, Same, "the same since 1 March 2026, 92 % sure that it moved by less than half a tier"},
		{0.6, 0.6, Unclear, "unclear since 1 March 2026: perhaps +0.6 tiers, give or take 1.4; " +
			"more dates will tell"},
		{0.2, 0.05, Same, "the same since 1 March 2026, 99 % sure that it moved by less than half a tier"},
	} {
		trend := Trend{Points: []Point{
			{Date: start, Level: 3, SD: c.sd},
			{Date: start.AddDate(0, 2, 0), Level: 3 + c.rise, SD: c.sd},
		}}
		trend.conclude()
		assert.Equal(t, c.want, trend.Direction)
		assert.Equal(t, c.text, trend.Text)
	}
}

func TestPriorOfTheNextWarmUpWidensWithTime(t *testing.T) {
	bank := ladder(t)
	trend := trendOf(t, term(rand.New(rand.NewPCG(8, 1)), bank, 3, 0), bank)
	last := trend.Points[2]
	soon, ok := trend.Prior(last.Date.AddDate(0, 0, 7))
	require.True(t, ok)
	late, _ := trend.Prior(last.Date.AddDate(1, 0, 0))
	assert.Equal(t, last.Level, soon.Level)
	assert.Greater(t, soon.LevelSD, last.SD)
	assert.Greater(t, late.LevelSD, soon.LevelSD)
}

func TestSparklineRunsFromLowestToHighest(t *testing.T) {
	trend := Trend{Points: []Point{{Level: 1}, {Level: 2.4}, {Level: 4.5}, {Level: 3}}}
	assert.Equal(t, "▁▄█▅", Sparkline(trend.Points))
	flat := Trend{Points: []Point{{Level: 3}, {Level: 3.05}}}
	assert.Equal(t, "▅▅", Sparkline(flat.Points))
}

// BenchmarkTrend prints how often a trend is stated rightly and wrongly over six
// dates in ten weeks with eight rounds each.
func BenchmarkTrend(b *testing.B) {
	bank := ladder(b)
	for _, rise := range []float64{0, 1, 2} {
		b.Run(fmt.Sprintf("rise-%g", rise), func(b *testing.B) {
			const groups = 300
			var up, down, same float64
			for b.Loop() {
				up, down, same = 0, 0, 0
				rng := rand.New(rand.NewPCG(21, 4))
				for range groups {
					switch trendOf(b, term(rng, bank, 6, rise), bank).Direction {
					case Up:
						up++
					case Down:
						down++
					case Same:
						same++
					}
				}
			}
			b.ReportMetric(up/groups, "up")
			b.ReportMetric(down/groups, "down")
			b.ReportMetric(same/groups, "same")
		})
	}
}
