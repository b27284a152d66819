package difficulty

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/internal/features"
	"clapladder.example/patterns/internal/golden"
	"clapladder.example/patterns/internal/testphrase"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// teachingPhrases are the phrases of testdata/ratings/teaching_phrases.csv.
func teachingPhrases(t testing.TB) []rhythm.Phrase {
	file, err := os.Open("../testdata/ratings/teaching_phrases.csv")
	require.NoError(t, err)
	defer file.Close()
	var phrases []rhythm.Phrase
	for lines := bufio.NewScanner(file); lines.Scan(); {
		cells := strings.Split(lines.Text(), ",")
		if len(cells) == 4 && cells[1] != "step" && !strings.HasPrefix(cells[0], "#") {
			phrases = append(phrases, rhythm.MustParse(cells[3], cells[2], 96))
		}
	}
	require.Greater(t, len(phrases), 50)
	return phrases
}

func TestPlainBeatsFixTheScale(t *testing.T) {
	assert.Equal(t, 1.0, DefaultModel().Difficulty(rhythm.MustParse("x x x x", "4/4", 96)))
	for _, weight := range DefaultModel().Weights() {
		assert.GreaterOrEqual(t, weight, 0.0, "every feature makes it harder")
	}
}

func TestGradesOfTheTeachingPhrases(t *testing.T) {
	var text strings.Builder
	m := DefaultModel()
	for _, p := range teachingPhrases(t) {
		fmt.Fprintf(&text, "%5.2f  %-10s %s\n", m.Difficulty(p), p.Meter(), p)
	}
	golden.Compare(t, "grades.txt", text.String())
}

func TestDifficultyDoesNotDependOnHowAPhraseIsWritten(t *testing.T) {
	for _, pair := range [][2]string{
		{"x x xx x", "x.x.xxx."},
		{"x x xx x", "x... x. x.x. x..."},
		{"x..x .x .x x", "x..x..x...x.x..."},
		{"xxx x x x", "x.x.x. x x... x"},
		{"| x x x x |", "x\nx x x"},
	} {
		a, b := rhythm.MustParse(pair[0], "4/4", 96), rhythm.MustParse(pair[1], "4/4", 96)
		if a.Equal(b) {
			assert.Equal(t, features.Of(a), features.Of(b), pair)
			continue
		}
		assert.Fail(t, "not the same phrase", pair)
	}
	random := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		p := testphrase.Random(random)
		q, err := rhythm.Parse(p.String(), p.Meter(), p.Tempo())
		require.NoError(t, err)
		assert.Equal(t, features.Of(p), features.Of(q), p.String())
	}
}

// A grid made finer by another beat must not change what a beat is worth.
func TestAFinerGridElsewhereChangesOnlyItsOwnBeat(t *testing.T) {
	coarse := features.Of(phrase("xx .x x xxx"))
	fine := features.Of(phrase("xx .x x xxx | x x x x.xx"))
	assert.Equal(t, coarse[features.Syncopation], fine[features.Syncopation])
	assert.Equal(t, coarse[features.SilentBeats], fine[features.SilentBeats])
}

func TestTempoActsThroughPaceAlone(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	for range 200 {
		p := testphrase.Random(random)
		a, b := features.Of(p.WithTempo(60)), features.Of(p.WithTempo(160))
		a[features.Pace], b[features.Pace] = 0, 0
		assert.Equal(t, a, b)
	}
}

func TestComfortableTempiAreAllAlikeAndOthersHarder(t *testing.T) {
	m, p := DefaultModel(), phrase("x x xx x") // no stroke is quick at any of these
	at := func(tempo float64) float64 { return m.Difficulty(p.WithTempo(tempo)) }
	for tempo := 80.0; tempo <= 130; tempo += 5 {
		assert.InDelta(t, at(96), at(tempo), 1e-12)
	}
	for tempo := 135.0; tempo <= 400; tempo += 5 {
		assert.Greater(t, at(tempo), at(tempo-5), "%g", tempo)
	}
	for tempo := 75.0; tempo >= 20; tempo -= 5 {
		assert.Greater(t, at(tempo), at(tempo+5), "%g", tempo)
	}
}

func TestWhatMakesAPhraseHarder(t *testing.T) {
	m := DefaultModel()
	for law, pair := range map[string][2]string{
		"a rest inside":              {"x x x x", "x . x x"},
		"pairs":                      {"x x x x", "x x xx x"},
		"a syncopation":              {"xx x xx x", "xx .x xx x"},
		"no first beat of the bar":   {"x x x x | x x xx x", "x x x xx | .x x xx x"},
		"sixteenths after pairs":     {"x x xx x", "x x xxxx x"},
		"triplets after sixteenths":  {"xxxx x x x", "xxx x x x"},
		"halves and thirds together": {"xxx x xxx x", "xxx x xx x"},
		"another bar":                {"x x xx x", "x x xx x | xx x x ."},
		"more changes":               {"x x xx x | xx x x x", "x x xx x | xx x xx x"},
		"other sounds":               {"x x x x", "s x s x"},
		"off-beat accents":           {"x xx x xx", "x xX x xX"},
		"3:2 against 2:1":            {"x. xx x x", "x..x ..x. x x"},
	} {
		assert.Less(t, m.Difficulty(phrase(pair[0])), m.Difficulty(phrase(pair[1])), law)
	}
	in := func(notation, meter string) float64 {
		return m.Difficulty(rhythm.MustParse(notation,
			meter, 96))
	}
	assert.Equal(t, in("x x", "2/4"), in("x x", "6/8"), "nobody hears how silent beats divide")
	assert.Less(t, in("xx xx x", "3/4"), in("x.x x.x x..", "9/8"), "three after two")
	assert.Less(t, in("x xx x xx", "4/4"), in("x xx x xx x", "5/4=3+2"))
	assert.Less(t, in("x xx x xx x", "5/4=3+2"), in("xx xx x.x", "7/8=2+2+3"))
}

// The hardest one-bar phrases lie well above, the usual ones between tiers 1 and 6.
func TestOneBarPhrasesSpreadOverTheLowerTiers(t *testing.T) {
	m, hardest := DefaultModel(), 0.0
	for _, p := range teachingPhrases(t) {
		if p.Meter().Kind() != rhythm.Additive && p.Bars() == 1 {
			d := m.Difficulty(p)
			assert.GreaterOrEqual(t, d, tierscale.Min, p.String())
			assert.Less(t, d, 7.5, p.String())
			hardest = max(hardest, d)
		}
	}
	assert.Greater(t, hardest, 5.0)
	assert.Greater(t, m.Difficulty(phrase(".xx. x..x ..xx .x.x | x..x ..x. .xx. x.x.")), 7.0)
}

// A repeated bar is no easier than another of equal length, changes and distance from the beat.
func TestARepeatedBarCountsInFull(t *testing.T) {
	m := DefaultModel()
	assert.Equal(t, m.Unlimited(phrase("xx x x x | x xx x x")), m.Unlimited(phrase("xx x x x | xx x x x")))
}

// Where little is known the model says so.
func TestTheErrorGrowsWhereLittleIsKnown(t *testing.T) {
	m := DefaultModel()
	sd := func(notation, meter string) float64 { return m.SD(rhythm.MustParse(notation, meter, 96)) }
	assert.Equal(t, residualSD, sd("x x x x", "4/4"))
	assert.Less(t, sd("x x xx x", "4/4"), 0.7)
	assert.Less(t, sd("x x xx x", "4/4"), sd("x x xx x | xx x xx x", "4/4"))
	assert.Greater(t, sd("x x x | x x x", "7/8=2+2+3"), 1.0, "unequal beats, which no data hold")
	inside, outside := strings.Repeat("x x x x |", 2), strings.Repeat("x x x x |", 4)
	assert.Less(t, sd(inside, "4/4"), 0.8)
	assert.Greater(t, sd(outside, "4/4"), 1.5, "twice as long as anything fitted")
}

func TestHostilePhrasesStayOnTheScale(t *testing.T) {
	bar := strings.Repeat("x.xx.x.xx.xx.x.x ", 32)
	long := rhythm.MustParse(strings.TrimSuffix(strings.Repeat(bar+"|", 64), "|"), "32/4", 400)
	assert.Equal(t, tierscale.Max, DefaultModel().Difficulty(long))
	assert.NotEmpty(t, DefaultModel().Explain(long).Reasons)
	assert.Equal(t, mostSD, DefaultModel().SD(long))
	assert.Equal(t, features.Values{}, features.Of(rhythm.Phrase{}))
	assert.GreaterOrEqual(t, DefaultModel().Difficulty(rhythm.MustParse("x", "1/4", 96)), tierscale.Min)
	random := rand.New(rand.NewPCG(9, 9))
	for range 500 {
		d := DefaultModel().Difficulty(testphrase.Random(random))
		assert.True(t, d >= tierscale.Min && d <= tierscale.Max)
	}
}

func TestDifficultyDoesNotAllocate(t *testing.T) {
	m := DefaultModel()
	room := make([]Contribution, 0, features.Count)
	for _, p := range teachingPhrases(t) {
		assert.Zero(t, testing.AllocsPerRun(10, func() { m.Difficulty(p) }), p.String())
		assert.Zero(t, testing.AllocsPerRun(10, func() { room = m.Contributions(room[:0], p) }), p.String())
	}
}

func ExampleModel_Difficulty() {
	m := DefaultModel()
	for _, notation := range []string{"x x x x", "x x xx x", "xx .x x x", "x..x ..x. ..x. x..."} {
		p := rhythm.MustParse(notation, "4/4", 96)
		fmt.Printf("%.1f  %s\n", m.Difficulty(p), p)
	}
	// Output:
	// 1.0  x x x x
	// 1.7  x x xx x
	// 2.3  xx .x x x
	// 3.6  x..x .x .x x
}

func phrase(notation string) rhythm.Phrase { return rhythm.MustParse(notation, "4/4", 96) }
