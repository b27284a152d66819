package features

import (
	"math"

	"clapladder.example/rhythm"
)

// divisionKinds collects how the beats of a phrase are divided.
type divisionKinds struct {
	binary, ternary bool
	cost            float64 // of the hardest division
}

// beat looks at beat i with strokes first up to next.
func (d *divisionKinds) beat(w *walk, i, inBar, first, next int) {
	boxes := w.boxes(i, first, next)
	d.cost = max(d.cost, divisionCost(boxes, w.shape.ternary>>inBar&1 != 0))
	switch {
	case boxes == 1:
	case boxes%3 == 0:
		d.ternary = true
	case boxes%2 == 0:
		d.binary = true
	}
}

// boxes is the smallest number of equal parts of beat i that holds its strokes, first up to next.
func (w *walk) boxes(i, first, next int) int {
	start, length := w.beats[i], w.beats[i+1]-w.beats[i]
	common := length
	for _, s := range w.strokes[first:next] {
		common = gcd(common, s.Step-start)
	}
	return length / common
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// divisionCost is how hard a beat of that many equal boxes is, in tiers: binary before ternary
// (Drake 1993) and both before anything else, in the order of the published teaching sequences.
func divisionCost(boxes int, ternary bool) float64 {
	if ternary {
		switch boxes {
		case 1:
			return 0
		case 3:
			return 0.6
		case 6:
			return 1.4
		case 2:
			return 2
		}
		return 3
	}
	switch boxes {
	case 1:
		return 0
	case 2:
		return 0.5
	case 4:
		return 0.7
	case 3:
		return 2.5
	case 6, 8:
		return 2.7
	}
	return 3
}

// mixedCost is for hearing binary and ternary divisions in one phrase.
const mixedCost = 1

func (w *walk) divisions() {
	d := &w.division
	if w.causes == nil {
		w.values[Division] += d.cost
	} else {
		w.placeDivisions()
	}
	if d.binary && d.ternary && w.shape.kind != rhythm.Additive {
		w.add(Division, MixedDivision, 0, w.phrase.Steps(), mixedCost)
	}
}

// placeDivisions shares the cost of the hardest division among the beats that have it.
func (w *walk) placeDivisions() {
	if w.division.cost == 0 {
		return
	}
	var places []Cause
	next := 0
	for i := range len(w.beats) - 1 {
		first := next
		for next < len(w.strokes) && w.strokes[next].Step < w.beats[i+1] {
			next++
		}
		boxes, ternary := w.boxes(i, first, next), w.shape.ternary>>(i%w.shape.beats)&1 != 0
		if divisionCost(boxes, ternary) == w.division.cost {
			kind := FineDivision
			switch {
			case boxes == 2 && !ternary:
				kind = PairDivision
			case boxes == 3 && !ternary:
				kind = TripletDivision
			}
			places = append(places, Cause{Division, kind, w.beats[i], w.beats[i+1], 0})
		}
	}
	for _, c := range places {
		w.add(c.Feature, c.Kind, c.From, c.To, w.division.cost/float64(len(places)))
	}
}

// uneven is the cost of an interval after another: only 1:1 and 1:2 are copied faithfully (Povel
// 1981), 1:4 and 1:8 better than 1:3 (Wu et al. 2013), and 3:2 is pulled to 2:1.
func uneven(a, b int) float64 {
	if a < b {
		a, b = b, a
	}
	if a%b != 0 {
		return 1
	}
	if ratio := a / b; ratio&(ratio-1) != 0 {
		return 0.25
	}
	return 0
}

// What Division and Pace may reach. No data say how hard additive metres or extreme tempi are, only
// that they come late in teaching; so the two can't outweigh all that is known of a phrase.
const (
	mostDivision = 4.0
	mostPace     = 2.0
)

// saturated is value up to half of most; from there it nears most and never reaches it.
func saturated(value, most float64) float64 {
	half := most / 2
	if value <= half {
		return value
	}
	return most - half*math.Exp(-(value-half)/half)
}

// Limits of pace, in seconds.
const (
	easyInterval = 0.200 // intervals from here on ask nothing of the hands
	fastestBeat  = 0.460 // 130 beats a minute
	SlowestBeat  = 0.750 // 80 beats a minute
)

// pace adds what quick strokes and an uncomfortable beat cost, in octaves of tempo.
func (w *walk) pace() {
	stepSeconds := w.phrase.StepSeconds()
	shortest, pair := math.MaxInt, math.MaxInt
	at := 0
	for k := 1; k < len(w.strokes); k++ {
		interval := w.strokes[k].Step - w.strokes[k-1].Step
		if interval < shortest {
			shortest, at = interval, k
		}
		if k > 1 {
			pair = min(pair, w.strokes[k].Step-w.strokes[k-2].Step)
		}
	}
	if shortest != math.MaxInt {
		quick := octavesAbove(easyInterval, float64(shortest)*stepSeconds) / 2
		if pair != math.MaxInt {
			quick += octavesAbove(easyInterval, float64(pair)*stepSeconds/2) / 2
		}
		w.add(Pace, QuickStrokes, w.strokes[max(0, at-1)].Step, w.strokes[at].Step+1, quick*(1+quick))
	}
	beat := 60 / w.phrase.Tempo()
	fast, slow := octavesAbove(fastestBeat, beat), octavesAbove(beat, SlowestBeat)
	w.add(Pace, FastBeat, 0, w.phrase.Steps(), fast*(1+fast))
	w.add(Pace, SlowBeat, 0, w.phrase.Steps(), slow*(1+slow))
}

// octavesAbove is how many doublings b is below a; 0 where it is not below.
func octavesAbove(a, b float64) float64 {
	if b >= a {
		return 0
	}
	return math.Log2(a / b)
}

// Costs of several body sounds and of accents. Common practice, no source: no data.
const (
	changedSoundCost  = 0.4
	offBeatAccentCost = 0.6
)

func (w *walk) sounds() {
	k := 0
	for i, s := range w.strokes {
		if i > 0 && s.Sound != w.strokes[i-1].Sound {
			w.add(Sounds, ChangedSound, w.strokes[i-1].Step, s.Step+1, changedSoundCost)
		}
		for w.beats[k] < s.Step {
			k++
		}
		if s.Accent && w.beats[k] != s.Step {
			w.add(Sounds, OffBeatAccent, s.Step, s.Step+1, offBeatAccentCost)
		}
	}
}
