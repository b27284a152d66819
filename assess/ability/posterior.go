package ability

import (
	"math"
	"slices"
)

// The grid of levels is even and wide enough that nothing of the prior is lost.
const (
	levelStep   = 0.1
	levelStride = 2   // levelStep in steps of the curves
	levelWidth  = 4.5 // standard deviations of the prior to either side
	levelLeast  = 3.0 // and at least so many tiers, for priors that were wrong

	// Cells with less than this of the largest weight are dropped. With a
	// twentieth as outliers it would take several rounds that all deny the earlier
	// ones to bring them back.
	negligible = 1e-9

	// maxTries is how many tries at one phrase are used: more than a leader would
	// ask for, and few enough for their likelihoods to be multiplied.
	maxTries = 20
)

// Posterior is the joint belief about level, spread and discrimination on a
// grid. The zero value is not usable; get one from NewPosterior.
type Posterior struct {
	first   float64   // level of the first column
	columns int       // number of levels
	weights []float64 // row·columns + column, rows as in curves; sum 1
	live    []span    // columns that are not dropped, by row
}

// span is a half-open range of columns.
type span struct{ from, to int }

// NewPosterior returns the belief before any round. The error is an
// *InputError.
func NewPosterior(prior Prior) (*Posterior, error) {
	prior = prior.Complete()
	if err := prior.check(); err != nil {
		return nil, err
	}
	half := int(math.Ceil(max(levelWidth*prior.LevelSD, levelLeast) / levelStep))
	p := &Posterior{
		first:   prior.Level - float64(half)*levelStep,
		columns: 2*half + 1,
	}
	table := curves()
	p.weights = make([]float64, len(table)*p.columns)
	p.live = make([]span, len(table))
	for r := range table {
		c := &table[r]
		row := normalDensity(math.Log(c.spread), math.Log(prior.SpreadMedian), prior.SpreadSigma) *
			normalDensity(math.Log(c.discrimination), math.Log(discriminationMedian), discriminationSigma)
		if a := r % discriminationCount; a == 0 || a == discriminationCount-1 {
			row /= 2 // trapezoid rule: the discrimination ends here
		}
		for i := range p.columns {
			p.weights[r*p.columns+i] = row * normalDensity(p.level(i), prior.Level, prior.LevelSD)
		}
		p.live[r] = span{0, p.columns}
	}
	p.normalise()
	return p, nil
}

// level returns the level of a column.
func (p *Posterior) level(column int) float64 { return p.first + float64(column)*levelStep }

// row returns the live weights of a row and the column of the first.
func (p *Posterior) row(r int) (weights []float64, from int) {
	s := p.live[r]
	return p.weights[r*p.columns+s.from : r*p.columns+s.to], s.from
}

// Update returns the belief after one try at a phrase or several, whose difficulty
// has one error in all of them; the largest DifficultySD is used. Tries after the
// twentieth tell nothing new and are left out. p stays as it is. The error is an
// *InputError.
func (p *Posterior) Update(tries ...Observation) (*Posterior, error) {
	tries = tries[:min(len(tries), maxTries)]
	for _, o := range tries {
		if err := o.check(); err != nil {
			return nil, err
		}
	}
	next := p.copy()
	newTold(p, tries).multiply(next)
	next.normalise()
	return next, nil
}

func (p *Posterior) copy() *Posterior {
	return &Posterior{
		first: p.first, columns: p.columns,
		weights: slices.Clone(p.weights), live: slices.Clone(p.live),
	}
}

// normalise makes the weights sum to 1 and drops negligible cells.
func (p *Posterior) normalise() {
	largest := 0.0
	for _, w := range p.weights {
		largest = max(largest, w)
	}
	total := 0.0
	for r := range p.live {
		row := p.weights[r*p.columns : (r+1)*p.columns]
		s := p.live[r]
		for s.from < s.to && row[s.from] < negligible*largest {
			row[s.from] = 0
			s.from++
		}
		for s.to > s.from && row[s.to-1] < negligible*largest {
			s.to--
			row[s.to] = 0
		}
		p.live[r] = s
		for _, w := range row[s.from:s.to] {
			total += w
		}
	}
	for i := range p.weights {
		p.weights[i] /= total
	}
}

// levels returns the marginal of the level, one weight a column.
func (p *Posterior) levels() []float64 {
	out := make([]float64, p.columns)
	for r := range p.live {
		row, from := p.row(r)
		for i, w := range row {
			out[from+i] += w
		}
	}
	return out
}

// Level returns mean and standard deviation of the level of the people in the
// room, tiers.
func (p *Posterior) Level() (mean, sd float64) {
	var sum, square float64
	middle := p.level(p.columns / 2)
	for i, w := range p.levels() {
		d := p.level(i) - middle
		sum += w * d
		square += w * d * d
	}
	return middle + sum, math.Sqrt(max(square-sum*sum, 0))
}

// LevelQuantile returns the level below which the true one lies with the given
// chance, 0–1, tiers.
func (p *Posterior) LevelQuantile(chance float64) float64 {
	return quantile(p.levels(), p.first, chance)
}

// quantile of a histogram with one weight for each levelStep, the first centred
// at first; the mass of a column is spread evenly over its step.
func quantile(weights []float64, first, chance float64) float64 {
	sum := 0.0
	for i, w := range weights {
		if sum+w >= chance && w > 0 {
			return first + (float64(i)-0.5+(chance-sum)/w)*levelStep
		}
		sum += w
	}
	return first + (float64(len(weights))-0.5)*levelStep
}

// spread returns mean and standard deviation of the spread of people's
// abilities, tiers.
func (p *Posterior) spread() (mean, sd float64) {
	var sum, square float64
	table := curves()
	for r := range table {
		row, _ := p.row(r)
		for _, w := range row {
			sum += w * table[r].spread
			square += w * table[r].spread * table[r].spread
		}
	}
	return sum, math.Sqrt(max(square-sum*sum, 0))
}
