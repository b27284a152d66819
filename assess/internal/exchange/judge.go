package exchange

import (
	"math"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/robust"
	"clapladder.example/assess/internal/rounds"
)

// Stretch is a span of call and response.
type Stretch struct {
	Start, End float64 // seconds: first call to last answer
	Evidence   Evidence
	first, end int // of digests
}

// Judgement says whether a recording holds call and response, and where.
type Judgement struct {
	Probability float64   // that it does, 0 to 1
	Best        Stretch   // the likeliest; zero where no answer was found
	Stretches   []Stretch // those believed, in order of time
	answered    int       // rounds looked at that have an answer
}

// Judge weighs what was found in a recording. found is in order of time. Nothing is changed.
func Judge(a *onset.Analysis, found []rounds.Round) Judgement {
	return judge(digests(listener{a}, found))
}

func judge(list []digest) Judgement {
	var j Judgement
	for _, d := range list {
		if d.Answered {
			j.answered++
		}
	}
	j.search(list, 0, len(list))
	if j.Best.end > 0 {
		j.Probability = 1 / (1 + math.Exp(-j.Best.Evidence.Odds()))
	}
	return j
}

// search finds the best stretch between two digests, and then those before and after it.
func (j *Judgement) search(list []digest, from, to int) {
	best, ok := bestStretch(list, from, to)
	if !ok {
		return
	}
	best.settle(list, from, to)
	if j.Best.end == 0 || best.Evidence.Odds() > j.Best.Evidence.Odds() {
		j.Best = best
	}
	if best.Evidence.Odds() < believed {
		return
	}
	j.search(list, from, best.first)
	j.Stretches = append(j.Stretches, best)
	j.search(list, best.end, to)
}

// bestStretch is the stretch with the most evidence: its odds times its answered rounds, so that a
// round belongs to it that has any evidence of its own.
func bestStretch(list []digest, from, to int) (Stretch, bool) {
	var best Stretch
	most := math.Inf(-1)
	for i := from; i < to; i++ {
		if !list[i].Answered {
			continue
		}
		answered := 0.0
		for k := i; k < min(to, i+mostRounds); k++ {
			if !list[k].Answered {
				continue
			}
			answered++
			e, _ := evidence(list[i : k+1])
			odds := e.Odds() - roundCosts
			if odds > 0 {
				odds *= answered
			}
			if odds > most {
				most = odds
				best = Stretch{Start: list[i].Start, End: list[k].End, Evidence: e, first: i, end: k + 1}
			}
		}
	}
	return best, best.end > 0
}

// settle moves the ends of a stretch: rounds beside it that its two sources make are taken in, and
// rounds at its ends that others make are given up. What the two sources do beside it counts too: of
// many accidental rounds some neighbours fit.
func (s *Stretch) settle(list []digest, from, to int) {
	var taught sources
	var own []traits
	for _, d := range list[s.first:s.end] {
		if d.Answered {
			taught.add(d.Differs)
			own = append(own, d.Differs)
		}
	}
	if len(own) < enoughRounds {
		return
	}
	odds := make([]float64, len(own))
	for i, x := range own {
		odds[i], _ = taught.without(x).odds(x)
	}
	costs := max(sourceCosts, sourceShare*robust.Median(odds))
	outside := func(i int) float64 {
		odds, _ := taught.odds(list[i].Differs)
		return odds - costs
	}
	if i, ok := furthest(list, s.first-1, -1, from-1, outside, 0); ok {
		s.first = i
	}
	if i, ok := furthest(list, s.end, 1, to, outside, 0); ok {
		s.end = i + 1
	}
	lack := make(map[int]float64)
	for i := s.first; i < s.end; i++ {
		if list[i].Answered {
			lack[i] = -outside(i)
		}
	}
	inside := func(i int) float64 { return lack[i] }
	if i, ok := furthest(list, s.first, 1, s.end, inside, endsDoubt); ok {
		s.first = next(list, i+1, 1, s.end, s.first)
	}
	if i, ok := furthest(list, s.end-1, -1, s.first-1, inside, endsDoubt); ok {
		s.end = next(list, i-1, -1, s.first-1, s.end-1) + 1
	}
	s.Start, s.End = list[s.first].Start, list[s.end-1].End
	if all, ok := evidence(list[s.first:s.end]); ok && all.Odds() < s.Evidence.Odds() {
		s.Evidence = all
	}
}

// furthest walks from a digest to before stop and says how far the sum of what the answered ones
// earn is largest, if it is larger than least.
func furthest(list []digest, i, step, stop int, earns func(int) float64, least float64) (last int, ok bool) {
	sum, most := 0.0, least
	for ; i != stop; i += step {
		if !list[i].Answered {
			continue
		}
		if sum += earns(i); sum > most {
			most, last, ok = sum, i, true
		}
	}
	return last, ok
}

// next is the first answered digest from i on before stop; otherwise where there is none.
func next(list []digest, i, step, stop, otherwise int) int {
	for ; i != stop; i += step {
		if list[i].Answered {
			return i
		}
	}
	return otherwise
}
