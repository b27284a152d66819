package measure

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onsetsOf turns intervals into a pattern that starts with an onset: 2 1 1 is "x.xx".
func onsetsOf(intervals ...int) string {
	var b strings.Builder
	for _, d := range intervals {
		b.WriteString("x" + strings.Repeat(".", d-1))
	}
	return b.String()
}

func TestMetricalWeightsOfPublishedMetres(t *testing.T) {
	// Longuet-Higgins & Lee (1984); rows as in the metre examples of the public repository
	// leighsmith/MultiresRhythm.
	for _, c := range []struct {
		metre  string
		splits []int
		want   []int
	}{
		{"3/4", []int{3, 2}, []int{0, -2, -1, -2, -1, -2}},
		{"4/4", []int{2, 2, 2}, []int{0, -3, -2, -3, -1, -3, -2, -3}},
		{"6/8", []int{2, 3}, []int{0, -2, -2, -1, -2, -2}},
		{"9/8", []int{3, 3}, []int{0, -2, -2, -1, -2, -2, -1, -2, -2}},
		{"12/8", []int{2, 2, 3}, []int{0, -3, -3, -2, -3, -3, -1, -3, -3, -2, -3, -3}},
	} {
		p := cycle(t, "x"+strings.Repeat(".", len(c.want)-1), 1, c.splits...)
		var got []int
		for i := range p.points() {
			got = append(got, p.weight(i))
		}
		assert.Equal(t, c.want, got, c.metre)
	}
}

func TestLonguetHigginsLeeFigure9(t *testing.T) {
	// Longuet-Higgins & Lee (1984), fig. 9, as intervals and metre in the tests of the public
	// repository leighsmith/MultiresRhythm.
	for _, c := range []struct {
		intervals []int
		splits    []int
		pairs     float64
		sum       float64
	}{
		{[]int{1, 3}, []int{2, 2}, 1, 1},
		{[]int{2, 1, 3, 2}, []int{2, 2, 2}, 1, 2},
		{[]int{3, 1}, []int{2, 2}, 0, 0},
		{[]int{2, 1}, []int{3}, 0, 0},
		{[]int{1, 2}, []int{3}, 1, 0},
	} {
		p := cycle(t, onsetsOf(c.intervals...), 1, c.splits...)
		assert.Equal(t, c.sum, longuetHigginsLee(p), "strength of %v in %v", c.intervals, c.splits)
		assert.Equal(t, c.pairs, longuetHigginsLeePairs(p), "pairs of %v in %v", c.intervals, c.splits)
		assert.Equal(t, c.sum+c.pairs, smithHoning(p), "Smith & Honing count 1 more for each pair")
	}
}

func TestFitchRosenfeldFigure1(t *testing.T) {
	// Fitch & Rosenfeld (2007), fig. 1, as quoted in a public repository.
	assert.Equal(t, 5.0, fitchRosenfeld(sixteen(t, "..x...x.x.x...x.")))
}

func TestTimelinesOf16Pulses(t *testing.T) {
	for _, r := range readTable(t, "timelines_16.csv") {
		t.Run(r["name"], func(t *testing.T) {
			p := sixteen(t, r["pattern"])
			published := func(source, column string, f func(*Pattern) (float64, error), tolerance float64) {
				t.Helper()
				assert.InDelta(t, r.number(t, column), value(t, f, p), tolerance, "%s (%s)", column, source)
			}
			from2002 := "Toussaint 2002, table values from memory"
			published(from2002, "metrical", sure(toussaintMetrical), 0)
			published(from2002, "pressing", pressing, 0)
			published(from2002, "lempel_ziv", lempelZiv, 0)
			from2005 := "Gómez et al. 2005, fig. 8"
			published(from2005, "keith", keith, 0)
			published(from2005, "off_beatness", offBeatness, 0)
			published(from2005, "note_to_beat", noteToBeat, 1e-12)
			from2013 := "Toussaint 2013, figs 17.13 and 37.11"
			published(from2013, "npvi", pairwiseVariability, 0.05)
			published(from2013, "distinct_distances", distinctDistances, 0)
			published(from2013, "distinct_intervals", distinctIntervals, 0)
			drift := "regression, not published"
			published(drift, "lhl", sure(longuetHigginsLee), 0)
			published(drift, "fitch_rosenfeld", sure(fitchRosenfeld), 0)
			published(drift, "keith_weighted", keithWeighted, 0)
			published(drift, "swap", swapToBeats, 0)
			published(drift, "c_score", povelEssens, 0)
		})
	}
}

func TestNoteToBeatTieDecidesSoukous(t *testing.T) {
	// Gómez et al. (2005), fig. 8: 18/5. The tie at the second next beat decides; the other reading
	// is NoteToBeatSum, which is not divided by the five notes.
	soukous := sixteen(t, "x..x..x...xx....")
	assert.InDelta(t, 18.0/5, value(t, noteToBeat, soukous), 1e-12)
	assert.InDelta(t, 22.0, value(t, noteToBeatSum, soukous), 1e-12)
}

func TestPressingOfOneBeat(t *testing.T) {
	// Those that occur in the six timelines follow from Toussaint (2002), table values from memory;
	// the others are a regression.
	for boxes, want := range map[string]float64{
		"x...": 0, "x.x.": 1, "xxxx": 2, "xx..": 2.5, "xxx.": 2.5, "x.xx": 2.5, "x..x": 4.5,
		"..x.": 5, "xx.x": 5,
		"..xx": 5.5, ".x..": 7.5, "...x": 7.5, ".xx.": 7.5, ".xxx": 8, ".x.x": 10,
	} {
		assert.Equal(t, want, value(t, pressing, cycle(t, boxes, 4, 2, 2)), boxes)
	}
}

func TestPressingOverAllLevels(t *testing.T) {
	// Regression: computed apart from this package.
	assert.Equal(t, 6.5, value(t, pressingFull, sixteen(t, "x...x.x...x.x...")), "shiko")
	assert.Equal(t, 11.0, value(t, pressingFull, sixteen(t, "x..x..x...x..x..")), "bossa-nova")
}

func TestTimelinesOf12Pulses(t *testing.T) {
	for _, r := range readTable(t, "bells_12.csv") {
		t.Run(r["name"], func(t *testing.T) {
			p := cycle(t, r["pattern"], 3, 2, 2, 3)
			// Gómez et al. (2005), fig. 11.
			assert.Equal(t, r.number(t, "off_beatness"), value(t, offBeatness, p))
			assert.InDelta(t, r.number(t, "note_to_beat"), value(t, noteToBeat, p), 1e-12)
			// Regression, not published.
			assert.Equal(t, r.number(t, "lhl"), longuetHigginsLee(p))
			assert.Equal(t, r.number(t, "fitch_rosenfeld"), fitchRosenfeld(p))
			assert.Equal(t, r.number(t, "metrical"), toussaintMetrical(p))
			assert.InDelta(t, r.number(t, "npvi"), value(t, pairwiseVariability, p), 0.05)
		})
	}
}

func TestPovelEssensClockCounts(t *testing.T) {
	// Povel & Essens (1985), Music Perception 2:411-440: counts (unaccented, silent) of the best
	// clock for categories 1 to 7.
	counts := [8][2]int{1: {0, 0}, 2: {1, 0}, 3: {2, 0}, 4: {3, 0}, 5: {0, 1}, 6: {1, 1}, 7: {2, 1}}
	rows := readTable(t, "povel_essens_1985.csv")
	require.Len(t, rows, 35)
	for _, r := range rows {
		category, err := strconv.Atoi(r["category"])
		require.NoError(t, err)
		clock, err := bestClock(sixteen(t, r["pattern"]))
		require.NoError(t, err)
		assert.Equal(t, counts[category], [2]int{clock.Unaccented, clock.Silent}, "pattern %s", r["no"])
		assert.Equal(t, 4, clock.Unit, "pattern %s", r["no"])
	}
}

func TestPovelEssensAccents(t *testing.T) {
	// The rule of Povel & Essens (1985): alone; second of two; first and last of more.
	for boxes, want := range map[string][]int{
		"x...x...": {0, 4}, // alone
		"xx..xx..": {1, 5}, // second of two
		"xxx.xxxx": {2, 4}, // one group of seven over the end of the cycle: first and last
	} {
		got, err := accents(nil, cycle(t, boxes, 2, 2, 2, 2))
		require.NoError(t, err)
		assert.Equal(t, want, got, boxes)
	}
	ended, err := ParsePattern("xxx.xxxx", 2, 2, 2, 2)
	require.NoError(t, err)
	got, err := accents(nil, ended)
	require.NoError(t, err)
	assert.Equal(t, []int{0, 2, 4, 7}, got, "with an end there are two groups")
}

func TestPairwiseVariabilityWorkedExample(t *testing.T) {
	// Daniele & Patel (2013), worked example as found in the public repository
	// music-computing/amads: 42.2.
	third := 1.0 / 3
	got, err := pairwiseVariabilityOf([]float64{
		1, .5, .5, 1, .5, .5, third, third, third, 2, third, third, third, third, third, third, 1.5, 1, .5,
	})
	require.NoError(t, err)
	assert.InDelta(t, 42.2, got, 0.05)
}

func TestBarlowWeights(t *testing.T) {
	for _, c := range []struct {
		source string
		splits []int
		want   []int
	}{
		{"Barlow (1987), from memory", []int{3, 2}, []int{5, 0, 3, 1, 4, 2}},
		{"Barlow (1987), from memory", []int{2, 3}, []int{5, 0, 2, 4, 1, 3}},
		{
			"Barlow (1987), from memory",
			[]int{2, 2, 2, 2},
			[]int{15, 0, 8, 4, 12, 2, 10, 6, 14, 1, 9, 5, 13, 3, 11, 7},
		},
		{"Barlow (1987), basic weights, from memory", []int{5}, []int{4, 0, 3, 1, 2}},
		{"Barlow (1987), basic weights, from memory", []int{7}, []int{6, 0, 4, 2, 5, 1, 3}},
		{"regression", []int{2, 2, 2}, []int{7, 0, 4, 2, 6, 1, 5, 3}},
		{"regression", []int{3, 3}, []int{8, 0, 3, 6, 1, 4, 7, 2, 5}},
		{"regression", []int{2, 2, 3}, []int{11, 0, 4, 8, 2, 6, 10, 1, 5, 9, 3, 7}},
		{"regression", []int{3, 2, 2}, []int{11, 0, 6, 3, 9, 1, 7, 4, 10, 2, 8, 5}},
	} {
		assert.Equal(t, c.want, indispensabilitiesOf(c.splits...), "%v (%s)", c.splits, c.source)
	}
	assert.Nil(t, indispensabilitiesOf(4), "four is not a prime")
	assert.Nil(t, indispensabilitiesOf(37), "too large")
}

func TestTablesComputedApart(t *testing.T) {
	// Regression: columns of another program under the same conventions. Not published.
	columns := map[string]func(*Pattern) (float64, error){
		"c_score":          povelEssens,
		"lhl":              sure(longuetHigginsLee),
		"fitch_rosenfeld":  sure(fitchRosenfeld),
		"smith_honing":     sure(smithHoning),
		"metrical":         sure(toussaintMetrical),
		"keith_weighted":   keithWeighted,
		"keith":            keith,
		"off_beatness":     offBeatness,
		"note_to_beat":     noteToBeat,
		"lempel_ziv":       lempelZiv,
		"npvi":             pairwiseVariability,
		"interval_entropy": intervalEntropy,
	}
	for _, table := range []string{"povel_essens_1985.csv", "fitch_rosenfeld_2007.csv", "essens_1995.csv"} {
		for _, r := range readTable(t, table) {
			p := sixteen(t, r["pattern"])
			for column, f := range columns {
				assert.InDelta(t, r.number(t, column), value(t, f, p), 0.0051, "%s of %s no. %s",
					column, table, r["no"])
			}
		}
	}
	for _, r := range readTable(t, "grahn_brett_2007.csv") {
		p := cycle(t, r["pattern"], 4, 3, 2, 2)
		assert.Equal(t, r.number(t, "lhl"), longuetHigginsLee(p), r["sequence"])
		assert.Equal(t, r.number(t, "fitch_rosenfeld"), fitchRosenfeld(p), r["sequence"])
		assert.Equal(t, r.number(t, "metrical"), toussaintMetrical(p), r["sequence"])
		assert.InDelta(t, r.number(t, "note_to_beat"), value(t, noteToBeat, p), 1e-12, r["sequence"])
	}
}

func TestFitchRosenfeldIndexRises(t *testing.T) {
	// Fitch & Rosenfeld (2007) order their first 15 rhythms by the index.
	previous := 0.0
	for i, r := range readTable(t, "fitch_rosenfeld_2007.csv")[:15] {
		index := fitchRosenfeld(sixteen(t, r["pattern"]))
		if i >= 2 {
			assert.Greater(t, index, previous, "no. %s", r["no"])
		} else {
			assert.Zero(t, index, "no. %s", r["no"])
		}
		previous = index
	}
}
