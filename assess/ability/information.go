package ability

import (
	"cmp"
	"math"
)

// Candidate is a phrase that might be called next.
type Candidate struct {
	Difficulty  float64 // as given, tiers
	Information float64 // expected gain, nats; see Scorer.Rank
	Share       float64 // share of the group expected to get it, 0–1
}

// Scorer says how much a round would tell before it is played, for rounds of
// one noise. It is made once and may be used with many posteriors, also by
// several goroutines.
type Scorer struct {
	comfort []float64   // by row of curves: distance at which the comfort share manages
	mean    [][]float64 // by row, then distance: expected share
	square  [][]float64 // same: mean square of the share heard
}

// A Scorer's tables have the step of the levels. Those of the curves end at
// scorerReach steps on either side; the ends are repeated up to scorerHalf, so
// that no difficulty leads outside.
const (
	scorerReach = curveHalf / levelStride
	scorerHalf  = 2 * scorerReach
)

// NewScorer prepares for rounds of the given noise and a comfort share, 0.05 to
// 0.95; zero means DefaultComfort. The error is an *InputError.
func NewScorer(noise Noise, comfort float64) (*Scorer, error) {
	comfort = cmp.Or(comfort, DefaultComfort)
	if err := firstError(noise.check(), checkComfort(comfort)); err != nil {
		return nil, err
	}
	measurement, perPerson := noise.variances()
	errors := kernel(noise.DifficultySD)
	reach := len(errors) / 2
	table := curves()
	s := &Scorer{
		comfort: make([]float64, len(table)),
		mean:    make([][]float64, len(table)),
		square:  make([][]float64, len(table)),
	}
	mean := make([]float64, 2*(scorerReach+reach)+1)
	square := make([]float64, len(mean))
	for r := range table {
		c := &table[r]
		s.comfort[r] = c.distance(comfort)
		for i := range mean {
			at := min(max(i-reach, 0), 2*scorerReach) * levelStride
			p := c.share[at]
			mean[i] = p
			square[i] = p*p + c.luck[at]*perPerson + measurement
		}
		s.mean[r] = padded(mean, errors)
		s.square[r] = padded(square, errors)
	}
	return s, nil
}

// padded smooths src and repeats its ends up to scorerHalf.
func padded(src, errors []float64) []float64 {
	out := make([]float64, 2*scorerHalf+1)
	const from, to = scorerHalf - scorerReach, scorerHalf + scorerReach
	smooth(out[from:to+1], src, errors)
	for i := range from {
		out[i] = out[from]
		out[len(out)-1-i] = out[to]
	}
	return out
}

// question holds, for each answer to something asked about the group, its
// chance, and that chance times the share then expected.
type question struct{ chance, share []float64 }

func newQuestion(answers int) question {
	return question{chance: make([]float64, answers), share: make([]float64, answers)}
}

// square returns the mean square of the share that the answer foretells.
func (q question) square() float64 {
	sum := 0.0
	for i, c := range q.chance {
		if c > 0 {
			sum += q.share[i] * q.share[i] / c
		}
	}
	return sum
}

// ranking scores phrases for one posterior.
type ranking struct {
	scorer *Scorer
	p      *Posterior
	group  question // level and spread: spread·columns + column of the level
	point  question // the comfort point, in steps of levels
	places []int    // of a row's first level in point
}

func newRanking(s *Scorer, p *Posterior) *ranking {
	k := &ranking{
		scorer: s, p: p,
		group:  newQuestion(spreadCount * p.columns),
		point:  newQuestion(p.columns + 2*scorerReach),
		places: make([]int, len(p.live)),
	}
	for r := range p.live {
		k.places[r] = scorerReach - int(math.Round(s.comfort[r]/levelStep))
		row, from := p.row(r)
		for i, w := range row {
			k.group.chance[r/discriminationCount*p.columns+from+i] += w
			k.point.chance[k.places[r]+from+i] += w
		}
	}
	return k
}

// score returns the expected gain, nats, and the expected share of a phrase
// whose difficulty is the level of a column, which may lie outside the grid.
func (k *ranking) score(column int) (information, share float64) {
	p := k.p
	column = min(max(column, p.columns-1-scorerHalf), scorerHalf)
	var mean, square float64
	clear(k.group.share)
	clear(k.point.share)
	for r := range p.live {
		row, from := p.row(r)
		n := len(row)
		at := scorerHalf + from - column
		means, squares := k.scorer.mean[r][at:at+n], k.scorer.square[r][at:at+n]
		at = r/discriminationCount*p.columns + from
		group := k.group.share[at : at+n]
		at = k.places[r] + from
		point := k.point.share[at : at+n]
		for i, w := range row {
			share := w * means[i]
			mean += share
			square += w * squares[i]
			group[i] += share
			point[i] += share
		}
	}
	total := square - mean*mean
	information = (math.Log(total/(square-k.group.square())) + math.Log(total/(square-k.point.square()))) / 2
	return information, mean
}

// Rank says of every candidate, in the order given, what it is expected to
// tell, in nats: the gain about level and spread jointly plus the gain about
// the comfort point, the difficulty that the comfort share of the group just
// manages. The second is counted on its own because the tier is decided by it:
// on simulated groups this names the right tier more often than the first alone
// and leaves the level as well known.
//
// Each gain is ½ln(Var f / E Var(f|what is asked)), which is the mutual
// information where the share f is normal. Manners of leading, such as never two
// hard phrases in a row, are the caller's. The error is an *InputError.
func (s *Scorer) Rank(p *Posterior, candidates []float64) ([]Candidate, error) {
	ranking := newRanking(s, p)
	type score struct{ information, share float64 }
	known := map[int]score{}
	onGrid := func(column int) score {
		v, ok := known[column]
		if !ok {
			v.information, v.share = ranking.score(column)
			known[column] = v
		}
		return v
	}
	out := make([]Candidate, len(candidates))
	for i, difficulty := range candidates {
		if err := within("difficulty", difficulty, -maxDifficulty, maxDifficulty); err != nil {
			return nil, err
		}
		// The information is smooth: between two columns it is interpolated.
		at := (difficulty - p.first) / levelStep
		column := int(math.Floor(at + 1e-9))
		v := onGrid(column)
		if f := at - float64(column); f > 1e-9 {
			above := onGrid(column + 1)
			v.information += f * (above.information - v.information)
			v.share += f * (above.share - v.share)
		}
		out[i] = Candidate{Difficulty: difficulty, Information: v.information, Share: v.share}
	}
	return out, nil
}
