package rounds

import (
	"math"
	"slices"

	"clapladder.example/rhythm"
)

// A leader calls the same rhythm again and again: calls with the same strokes get the same name.

// named gives calls with the same strokes one reading: the one that earns most over all of them.
func (p *pass) named(chosen, all []proposal) []proposal {
	out := slices.Clone(chosen)
	done := make([]bool, len(out))
	for i := range out {
		if done[i] {
			continue
		}
		same := []int{i}
		for k := i + 1; k < len(out); k++ {
			if !done[k] && sameStrokes(p.callTimes(out[i]), p.callTimes(out[k])) {
				same, done[k] = append(same, k), true
			}
		}
		if len(same) > 1 {
			nameAlike(out, same, all)
		}
	}
	return out
}

// nameAlike gives the chosen calls at the given places one reading.
func nameAlike(chosen []proposal, same []int, all []proposal) {
	best, most := proposal{}, math.Inf(-1)
	for _, i := range same {
		earned := together(chosen, same, all, chosen[i])
		if earned > most || earned == most && chosen[i].total() > best.total() {
			best, most = chosen[i], earned
		}
	}
	for _, i := range same {
		if !sameReading(chosen[i], best) {
			chosen[i] = readAs(chosen[i], best, all)
		}
	}
}

// together is what calls earn if all of them are read as one of them is.
func together(chosen []proposal, same []int, all []proposal, reading proposal) float64 {
	sum := 0.0
	for _, i := range same {
		if sameReading(chosen[i], reading) {
			sum += chosen[i].total()
		} else if q, ok := otherReading(chosen[i], reading, all); ok {
			sum += q.total()
		} else {
			sum += chosen[i].total() - unreadCosts
		}
	}
	return sum
}

func sameReading(p, q proposal) bool {
	return p.template == q.template && (p.template >= 0 || p.phrase.Equal(q.phrase))
}

// otherReading finds the reading of a call's strokes that another call has.
func otherReading(p, reading proposal, all []proposal) (best proposal, ok bool) {
	for _, q := range all {
		if sameReading(q, reading) && slices.Equal(q.matched, p.matched) &&
			(q.answer == nil) == (p.answer == nil) && (!ok || q.total() > best.total()) {
			best, ok = q, true
		}
	}
	return best, ok
}

// readAs is a call read as another with the same strokes.
func readAs(p, reading proposal, all []proposal) proposal {
	if q, ok := otherReading(p, reading, all); ok {
		return q
	}
	strokes := reading.phrase.Strokes()
	if len(strokes) != len(p.phrase.Strokes()) {
		return p
	}
	// The same notes on other steps: both maps are turned into those of the other phrase's steps.
	old := p.phrase.Strokes()
	first, last := 0, len(strokes)-1
	scale := float64(old[last].Step-old[first].Step) / float64(strokes[last].Step-strokes[first].Step)
	turned := func(m rhythm.TimeMap) rhythm.TimeMap {
		step := m.StepSeconds * scale
		return rhythm.TimeMap{
			Origin: m.At(float64(old[first].Step)) - float64(strokes[first].Step)*step, StepSeconds: step,
		}
	}
	p.template, p.phrase, p.guessed = reading.template, reading.phrase, reading.guessed
	p.call = turned(p.call)
	if p.answer != nil {
		answer := *p.answer
		answer.Map = turned(answer.Map)
		p.answer = &answer
		p.to = answer.Map.At(float64(p.phrase.Steps()))
	}
	return p
}

// sameStrokes reports whether two calls, ascending times in seconds, are one rhythm at about one
// tempo.
func sameStrokes(a, b []float64) bool {
	if len(a) != len(b) || len(a) < 2 {
		return false
	}
	last := len(a) - 1
	tempo := (b[last] - b[0]) / (a[last] - a[0])
	if math.Abs(math.Log(tempo)) > sameTempo {
		return false
	}
	for i := range a {
		if math.Abs((a[i]-a[0])*tempo-(b[i]-b[0])) > sameWithin {
			return false
		}
	}
	return true
}

// callTimes are those of the strokes of a call, seconds.
func (p *pass) callTimes(c proposal) []float64 {
	var out []float64
	for _, k := range c.met() {
		out = append(out, p.attacks[k].Time)
	}
	return out
}
