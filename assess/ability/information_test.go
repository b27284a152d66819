package ability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mutualInformation is what the share of a phrase tells about the answer to a
// question, by summing over two hundred bins of the share: the exact quantity
// that the scorer's gains stand for. answer numbers the answers of a cell.
func mutualInformation(p *Posterior, difficulty, sd, perPerson float64,
	answer func(row, column int) int,
) float64 {
	const bins = 200
	const low, width = -0.5, 2.0 / bins
	joint := map[int]*[bins]float64{}
	var marginal [bins]float64
	table := curves()
	for r := range table {
		c := &table[r]
		row, from := p.row(r)
		for i, w := range row {
			at, f := place(p.level(from+i) - difficulty)
			share := c.share[at] + f*(c.share[at+1]-c.share[at])
			luck := c.luck[at] + f*(c.luck[at+1]-c.luck[at])
			noise := math.Sqrt(sd*sd + luck*perPerson)
			k := answer(r, from+i)
			if joint[k] == nil {
				joint[k] = new([bins]float64)
			}
			for b := range bins {
				mass := w * width * normalDensity(low+(float64(b)+0.5)*width, share,
					noise) / (noise * math.Sqrt(2*math.Pi))
				joint[k][b] += mass
				marginal[b] += mass
			}
		}
	}
	information := 0.0
	for _, bin := range joint {
		chance := 0.0
		for _, mass := range bin {
			chance += mass
		}
		for b, mass := range bin {
			if mass > 0 {
				information += mass * math.Log(mass/(chance*marginal[b]))
			}
		}
	}
	return information
}

func TestInformationAgainstExactSum(t *testing.T) {
	noise := Noise{ShareSD: 0.1, People: 25}
	scorer, err := NewScorer(noise, 0.7)
	require.NoError(t, err)
	for name, p := range map[string]*Posterior{
		"before the first": prior(t, PriorForTiers(9)),
		"after three":      after(t, prior(t, PriorForTiers(9)), benchRounds()[:3]...),
		"after eight":      after(t, prior(t, PriorForTiers(9)), benchRounds()...),
	} {
		t.Run(name, func(t *testing.T) {
			difficulties := []float64{2, 4, 5, 7}
			ranked, err := scorer.Rank(p, difficulties)
			require.NoError(t, err)
			for i, b := range difficulties {
				table := curves()
				exact := mutualInformation(p, b, noise.ShareSD, 1.0/25, func(row, column int) int {
					return row/discriminationCount*1000 + column
				}) + mutualInformation(p, b, noise.ShareSD, 1.0/25, func(row, column int) int {
					return column - int(math.Round(table[row].distance(0.7)/levelStep))
				})
				// Shares are far from normal where the level is hardly known.
				assert.InEpsilon(t, exact, ranked[i].Information, 0.33, "difficulty %v", b)
				assert.InDelta(t, p.Share(b), ranked[i].Share, 1e-4, "difficulty %v", b)
			}
		})
	}
}

// bestNext is what tells most of a group, with the default comfort share.
func bestNext(t *testing.T, p *Posterior, candidates []float64, noise Noise) Candidate {
	scorer, err := NewScorer(noise, 0)
	require.NoError(t, err)
	ranked, err := scorer.Rank(p, candidates)
	require.NoError(t, err)
	return ranked[tellsMost(ranked)]
}

func TestNoisierRoundsTellLess(t *testing.T) {
	p := after(t, prior(t, PriorForTiers(9)), benchRounds()[:3]...)
	last := math.Inf(1)
	for _, noise := range []Noise{
		{ShareSD: 0.05, People: 60},
		{ShareSD: 0.05, People: 25},
		{ShareSD: 0.1, People: 25},
		{ShareSD: 0.1, DifficultySD: 0.5, People: 25},
		{ShareSD: 0.2, DifficultySD: 0.5, People: 25},
		{ShareSD: 0.2, DifficultySD: 1.5, People: 8},
	} {
		best := bestNext(t, p, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}, noise)
		assert.Less(t, best.Information, last)
		assert.Positive(t, best.Information)
		last = best.Information
	}
}

func TestWhatTellsMostIsNeitherTrivialNorHopeless(t *testing.T) {
	candidates := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 20, -20}
	for _, level := range []float64{3, 5, 7} {
		p := prior(t, Prior{Level: level, LevelSD: 0.6})
		best := bestNext(t, p, candidates, Noise{ShareSD: 0.1, People: 25})
		assert.InDelta(t, level, best.Difficulty, 2)
		assert.Greater(t, best.Share, 0.25)
		assert.Less(t, best.Share, 0.9)
	}
}

func TestSaturatedPhrasesTellNothing(t *testing.T) {
	scorer, err := NewScorer(Noise{}, 0)
	require.NoError(t, err)
	ranked, err := scorer.Rank(prior(t, PriorForTiers(9)), []float64{-50, -30, 50})
	require.NoError(t, err)
	assert.InDelta(t, 1, ranked[0].Share, 0.01)
	assert.InDelta(t, 0, ranked[2].Share, 0.01)
	for _, c := range ranked {
		assert.InDelta(t, 0, c.Information, 0.01)
	}
}

func TestScoresAreSmooth(t *testing.T) {
	scorer, err := NewScorer(Noise{ShareSD: 0.1, People: 25}, 0)
	require.NoError(t, err)
	var candidates []float64
	for b := 0.0; b < 10; b += 0.013 {
		candidates = append(candidates, b)
	}
	ranked, err := scorer.Rank(after(t, prior(t, PriorForTiers(9)), benchRounds()...), candidates)
	require.NoError(t, err)
	for i := 1; i < len(ranked); i++ {
		assert.InDelta(t, ranked[i-1].Information, ranked[i].Information, 0.02)
		assert.LessOrEqual(t, ranked[i].Share, ranked[i-1].Share)
		assert.Equal(t, candidates[i], ranked[i].Difficulty)
	}
}

func TestAdaptiveOrderBeatsRandom(t *testing.T) {
	c := condition{25, "normal", 0.5, 0.10}
	adaptive, err := simulate(world{tiers: 9}, c, 60, []int{6})
	require.NoError(t, err)
	random, err := simulate(world{tiers: 9, random: true}, c, 60, []int{6})
	require.NoError(t, err)
	assert.Less(t, adaptive[0].sd, 0.9*random[0].sd)
}

func TestScorerRefusesNonsense(t *testing.T) {
	var bad *InputError
	_, err := NewScorer(Noise{ShareSD: math.NaN()}, 0)
	require.ErrorAs(t, err, &bad)
	_, err = NewScorer(Noise{}, 2)
	require.ErrorAs(t, err, &bad)
	assert.Equal(t, "comfort share", bad.Field)
	p := prior(t, PriorForTiers(9))
	scorer, err := NewScorer(Noise{}, 0)
	require.NoError(t, err)
	_, err = scorer.Rank(p, []float64{3, math.Inf(1)})
	require.ErrorAs(t, err, &bad)
}
