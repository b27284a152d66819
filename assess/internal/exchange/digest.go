package exchange

import (
	"math"

	"clapladder.example/assess/internal/robust"
	"clapladder.example/assess/internal/rounds"
)

// digest is what counts of one found round.
type digest struct {
	Start, End float64 // seconds; End is that of the last answer to the call
	Answered   bool
	Differs    traits  // how the call sounds minus how the answer does
	Gain       float64 // see gains
	Apart      float64 // see apart; the same for all rounds of a recording
	Rhythm     int     // the same number for the same rhythm
	// Strong attacks from eight seconds before the call, or the end of the round before, to the
	// end: all, and those that neither call nor answer explains, within the round and before it.
	Attacks, StrangeInside, StrangeBefore float64
}

const (
	strongBelow = 12.0 // dB below the strokes of the call
	beforeReach = 8.0  // seconds
	onNote      = 0.06 // seconds
	answerEarly = 0.15
	answerLate  = 0.2
)

// digests looks at the rounds found; a repeated answer belongs to the round before.
func digests(l listener, found []rounds.Round) []digest {
	var out []digest
	var answered []rounds.Round
	var place []int
	var rhythms [][]float64
	before := 0.0
	for i := 0; i < len(found); i++ {
		r := found[i]
		d := digest{
			Start: r.Start(), End: r.Call.End(), Answered: r.Answer != nil, Gain: math.NaN(), Rhythm: -1,
		}
		for ; i+1 < len(found) && found[i+1].Attempt > 1; i++ {
			d.End = max(d.End, answerEnd(found[i+1]))
		}
		if d.Answered {
			d.End = max(d.End, answerEnd(r))
			d.Differs = differences(l.read(r.Call.Onsets), l.read(notes(r.Call.Phrase, r.Answer.Map)))
			answered, place = append(answered, r), append(place, len(out))
		}
		own := rhythmOf(r)
		for k, x := range rhythms {
			if same(x, own) {
				d.Rhythm = k
			}
		}
		if d.Rhythm < 0 {
			d.Rhythm = len(rhythms)
			rhythms = append(rhythms, own)
		}
		l.count(&d, r, before)
		before = d.End
		out = append(out, d)
	}
	for k, gain := range gains(l, answered) {
		out[place[k]].Gain = gain
	}
	distance := apart(out, answered)
	for i := range out {
		out[i].Apart = distance
	}
	return out
}

// apart is how far the one person who answers is from the caller, as their strokes sound: the
// difference of the logits of the share of their energy that comes straight and not through the
// room, whatever hands they clap with; the median over the rounds. It is infinite where more than
// one person answer.
func apart(list []digest, answered []rounds.Round) float64 {
	if len(answered) == 0 || answered[0].Answer.Solo == nil { // one person or not in all rounds
		return math.Inf(1)
	}
	var differs []float64
	for _, d := range list {
		if d.Answered && !math.IsNaN(d.Differs[focus]) {
			differs = append(differs, d.Differs[focus])
		}
	}
	return math.Abs(robust.Median(differs))
}

func answerEnd(r rounds.Round) float64 {
	if r.Answer == nil {
		return r.Call.End()
	}
	return r.Answer.Map.At(float64(r.Call.Phrase.Steps()))
}

// count fills in the attacks that a round explains and does not; before is the end of the round
// before.
func (l listener) count(d *digest, r rounds.Round, before float64) {
	least, n := 0.0, 0.0
	for _, t := range r.Call.Onsets {
		if k := l.attack(t); k >= 0 {
			least, n = least+decibel(l.a.Attacks[k].Power), n+1
		}
	}
	if n == 0 {
		return
	}
	least = least/n - strongBelow
	answer := math.Inf(1)
	if r.Answer != nil {
		answer = r.Answer.Map.At(0) - answerEarly
	}
	for k := l.from(max(before+answerLate, d.Start-beforeReach)); k < len(l.a.Attacks); k++ {
		x := l.a.Attacks[k]
		if x.Time > d.End+answerLate {
			break
		}
		if decibel(x.Power) < least {
			continue
		}
		d.Attacks++
		switch {
		case x.Time < d.Start-onNote:
			d.StrangeBefore++
		case x.Time < answer && !near(r.Call.Onsets, x.Time):
			d.StrangeInside++
		}
	}
}

func near(times []float64, t float64) bool {
	for _, x := range times {
		if math.Abs(x-t) < onNote {
			return true
		}
	}
	return false
}

func decibel(power float64) float64 { return 10 * math.Log10(power+1e-20) }

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / max(1, float64(len(x)))
}
