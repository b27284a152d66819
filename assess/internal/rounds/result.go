package rounds

import (
	"math"
)

// rounds turns the selected proposals into results.
func (p *pass) rounds(chosen []proposal) []Round {
	out := make([]Round, 0, len(chosen))
	for _, c := range chosen {
		r := Round{Template: c.template, Answer: c.answer, Attempt: 1}
		r.Call = Call{Phrase: c.phrase.WithTempo(c.call.Tempo(c.phrase)), Map: c.call, Low: p.low(c)}
		for _, k := range c.met() {
			r.Call.Onsets = append(r.Call.Onsets, p.attacks[k].Time)
		}
		if r.Answer != nil {
			r.Answer.Leader, r.Answer.Along = p.leaderWithin(*r.Answer, c.phrase)
		}
		r.Confidence = 1 / (1 + math.Exp(-(c.total()-threshold(c))/confidenceScale))
		out = append(out, r)
	}
	return p.withRepeats(out)
}

// withRepeats adds answers that follow an answer without a new call.
func (p *pass) withRepeats(rounds []Round) []Round {
	var out []Round
	for i, r := range rounds {
		out = append(out, r)
		until := p.seconds
		if i+1 < len(rounds) {
			until = rounds[i+1].Call.Start()
		}
		for r.Answer != nil {
			next, ok := p.repeat(r, until)
			if !ok {
				break
			}
			out, r = append(out, next), next
		}
	}
	return out
}

// repeat looks for one more answer between the end of the last and a time.
func (p *pass) repeat(r Round, until float64) (Round, bool) {
	call := proposal{phrase: r.Call.Phrase, call: r.Answer.Map}
	steps := float64(call.phrase.Steps())
	end := r.Answer.Map.At(steps)
	beat := r.Answer.Map.BeatSeconds(call.phrase)
	if until-end < repeatSpace*r.Answer.Map.StepSeconds*steps {
		return r, false
	}
	again, ok := p.search(call, new(scratch)).answered(call, -repeatEarly*beat, repeatLate*beat)
	if !ok || again.answer.Match < repeatMatch || again.end > until+earlyNext {
		return r, false
	}
	r.Answer, r.Attempt = again.answer, r.Attempt+1
	return r, true
}
