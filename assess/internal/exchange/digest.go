package exchange

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/robust"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/assess/internal/timbre"
)

// digest is what counts of one found round.
type digest struct {
	Start, End float64 // seconds; End is that of the last answer to the call
	Answered   bool
	Differs    traits  // how the call sounds minus how the answer does
	Gain       float64 // see gains
	Apart      float64 // see apart; the same for all rounds of a recording
	Rhythm     int     // the same number for the same rhythm
	Even       bool    // the call's strokes are evenly spaced
	Sure       float64 // logit that the call was called as stated, up to sureMost
	Pause      pause   // from the call's end to the answer
	Strokes    float64 // of the call
	// Strong attacks from eight seconds before the call, or the end of the round before, to the
	// end: all, and those that neither call nor answer explains, within the round and before it.
	Attacks, StrangeInside, StrangeBefore float64
	// Of the strange ones those that sound like the call's strokes or the answer's.
	LikeInside, LikeBefore float64
}

// pause is a time in beats of the call and in seconds: leaders wait for a beat or for a breath.
type pause struct{ beats, seconds float64 }

const (
	strongBelow = 12.0 // dB below the strokes of the call
	beforeReach = 8.0  // seconds
	onNote      = 0.06 // seconds
	answerEarly = 0.15
	answerLate  = 0.2
	alike       = 1.5 // units of timbre that strokes of one source differ by at most
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
			Sure: min(sureMost, logit(r.Confidence)), Strokes: float64(len(r.Call.Phrase.Strokes())),
		}
		for ; i+1 < len(found) && found[i+1].Attempt > 1; i++ {
			d.End = max(d.End, answerEnd(found[i+1]))
		}
		if d.Answered {
			d.End = max(d.End, answerEnd(r))
			seconds := r.Answer.Map.Origin - r.Call.End()
			d.Pause = pause{seconds / r.Call.Map.BeatSeconds(r.Call.Phrase), seconds}
			d.Differs = differences(l.read(r.Call.Onsets), l.read(notes(r.Call.Phrase, r.Answer.Map)))
			answered, place = append(answered, r), append(place, len(out))
		}
		own := rhythmOf(r)
		d.Even = even(own)
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
	own := l.attacks(r.Call.Onsets)
	if len(own) == 0 {
		return
	}
	least := 0.0
	for _, x := range own {
		least += decibel(x.Power) / float64(len(own))
	}
	least -= strongBelow
	sounds, answer := []timbre.Timbre{middleOf(own)}, math.Inf(1)
	if r.Answer != nil {
		answer = r.Answer.Map.At(0) - answerEarly
		if theirs := l.attacks(notes(r.Call.Phrase, r.Answer.Map)); len(theirs) > 0 {
			sounds = append(sounds, middleOf(theirs))
		}
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
		like, sound := 0.0, timbre.Of(x)
		if slices.ContainsFunc(sounds, func(s timbre.Timbre) bool { return sound.Like(s, alike) }) {
			like = 1
		}
		switch {
		case x.Time < d.Start-onNote:
			d.StrangeBefore++
			d.LikeBefore += like
		case x.Time < answer && !near(r.Call.Onsets, x.Time):
			d.StrangeInside++
			d.LikeInside += like
		}
	}
}

// attacks are the strongest attacks near some times.
func (l listener) attacks(times []float64) []onset.Attack {
	var out []onset.Attack
	for _, t := range times {
		if k := l.attack(t); k >= 0 {
			out = append(out, l.a.Attacks[k])
		}
	}
	return out
}

// middleOf is what most of some attacks sound like; of at least one.
func middleOf(attacks []onset.Attack) timbre.Timbre {
	sounds := make([]timbre.Timbre, len(attacks))
	for i, x := range attacks {
		sounds[i] = timbre.Of(x)
	}
	return timbre.Middle(sounds)
}

func near(times []float64, t float64) bool {
	for _, x := range times {
		if math.Abs(x-t) < onNote {
			return true
		}
	}
	return false
}

func logit(p float64) float64 { return math.Log(max(1e-6, p) / max(1e-6, 1-p)) }

func decibel(power float64) float64 { return 10 * math.Log10(power+1e-20) }

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / max(1, float64(len(x)))
}
