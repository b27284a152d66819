package exchange

import (
	"math"

	"clapladder.example/assess/internal/robust"
)

// Evidence is what speaks for call and response in a stretch of rounds.
type Evidence struct {
	Rounds   float64 // answered rounds up to sixteen, as ln(1+n)
	Answered float64 // share of the calls that were answered
	Sources  float64 // mean log odds that call and answer have the sources that the other rounds have
	Gain     float64 // by how much answers fit their own calls better than others, as correlation
	Inside   float64 // share of strong attacks within calls that the calls do not explain
	Between  float64 // and of those between rounds
	Distinct float64 // share of rounds with a rhythm that was not there before
	Even     float64 // share of rounds whose call is evenly spaced, as hammering and steps are
	Sure     float64 // mean logit that a round was called as stated
	Pauses   float64 // mean distance of the pauses before answers from their median, beats or seconds
	// Alike is the share of strokes that sound like the calls' or the answers' and belong to none,
	// among the calls' and these.
	Alike  float64
	Others float64 // Sources without the level: one person repeats a call softly, with the same hands
	// Apart is how far the one person who answers sounds from where the calls do; infinite where more
	// than one do. See [digest].
	Apart float64
}

// EvidenceNames name the values of [Evidence.Values].
var EvidenceNames = [EvidenceCount]string{
	"rounds", "answered", "sources", "gain", "inside", "between", "distinct", "even", "sure", "pauses",
	"alike",
}

// EvidenceCount is the number of values.
const EvidenceCount = 11

// Values lists the evidence for a fit.
func (e Evidence) Values() [EvidenceCount]float64 {
	return [...]float64{
		e.Rounds, e.Answered, e.Sources, e.Gain, e.Inside, e.Between, e.Distinct, e.Even, e.Sure,
		e.Pauses, e.Alike,
	}
}

// Odds is the natural-log odds that the stretch is call and response.
func (e Evidence) Odds() float64 {
	odds := weightOfAll
	for k, v := range e.Values() {
		odds += weights[k] * v
	}
	odds -= e.few()
	odds -= placeCosts * max(0, placeApart-e.Apart)
	return odds - againCosts*max(0, againOdds-e.Others)
}

// few is what it costs that the stretch is short.
func (e Evidence) few() float64 { return fewCosts * max(0, enoughRounds-math.Expm1(e.Rounds)) }

// evidence sums up a stretch of digests; false where nothing in it is answered.
func evidence(list []digest) (Evidence, bool) {
	var e Evidence
	var taught sources
	n, apart := 0.0, math.Inf(1)
	gain, gains := 0.0, 0.0
	var attacks, inside, between, strokes, alike, even float64
	sure := surePrior * sureBefore
	var pauses []pause
	seen := map[int]bool{}
	for i, d := range list {
		attacks, inside = attacks+d.Attacks, inside+d.StrangeInside
		strokes, alike = strokes+d.Strokes, alike+d.LikeInside
		if i > 0 {
			between, alike = between+d.StrangeBefore, alike+d.LikeBefore
		} else {
			attacks -= d.StrangeBefore
		}
		if !d.Answered {
			continue
		}
		n++
		apart = d.Apart
		taught.add(d.Differs)
		seen[d.Rhythm] = true
		sure += d.Sure
		pauses = append(pauses, d.Pause)
		if d.Even {
			even++
		}
		if !math.IsNaN(d.Gain) {
			gain, gains = gain+min(d.Gain, gainMost), gains+1
		}
	}
	if n == 0 {
		return e, false
	}
	e = Evidence{
		Rounds: math.Log(1 + min(n, manyRounds)), Answered: (n + 1) / (float64(len(list)) + 2),
		Inside: inside / max(1, attacks), Between: between / max(1, attacks),
		Distinct: float64(len(seen)) / n, Even: even / n, Sure: sure / (n + surePrior),
		Pauses: unsteady(pauses), Alike: alike / max(1, strokes+alike), Apart: apart,
	}
	for _, d := range list {
		if d.Answered {
			all, others := taught.without(d.Differs).odds(d.Differs)
			e.Sources, e.Others = e.Sources+all/n, e.Others+others/n
		}
	}
	// Where all calls are of one rhythm nothing is known: that is half way.
	e.Gain = (gain + gainDoubt*gainMiddle) / (gains + gainDoubt)
	return e, true
}

// unsteady is the mean distance of pauses from their median, up to pauseMost and with one more of
// pauseBefore, in beats or in seconds, whichever is less: a leader waits for a beat or for a breath.
func unsteady(pauses []pause) float64 {
	beats, seconds := make([]float64, len(pauses)), make([]float64, len(pauses))
	for i, p := range pauses {
		beats[i], seconds[i] = p.beats, p.seconds
	}
	least := math.Inf(1)
	for _, x := range [][]float64{beats, seconds} {
		m, sum := robust.Median(x), pauseBefore
		for _, v := range x {
			sum += min(pauseMost, math.Abs(v-m))
		}
		least = min(least, sum/float64(len(x)))
	}
	return least
}
