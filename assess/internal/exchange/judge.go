package exchange

import (
	"math"

	"clapladder.example/assess/internal/onset"
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
}

// mostRounds is how many rounds a stretch may have that is looked at as one.
const mostRounds = 80

// believed is the log odds from which a stretch is call and response.
const believed = 0.0

// Judge weighs what was found in a recording. found is in order of time. Nothing is changed.
func Judge(a *onset.Analysis, found []rounds.Round) Judgement {
	list := digests(listener{a}, found)
	var j Judgement
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
			odds := e.Odds() * answered
			if e.Odds() < 0 {
				odds = e.Odds()
			}
			if odds > most {
				most = odds
				best = Stretch{Start: list[i].Start, End: list[k].End, Evidence: e, first: i, end: k + 1}
			}
		}
	}
	return best, best.end > 0
}
