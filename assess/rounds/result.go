package rounds

import "math"

// confidenceScale turns what a round earned above its threshold into odds.
const confidenceScale = 5.0

// rounds turns the selected proposals into results.
func (f *finder) rounds(chosen []proposal) []Round {
	out := make([]Round, 0, len(chosen))
	for _, p := range chosen {
		r := Round{Template: p.template, Answer: p.answer, Attempt: 1}
		r.Call = Call{Phrase: p.phrase.WithTempo(p.call.Tempo(p.phrase)), Map: p.call}
		for _, k := range p.matched {
			if k >= 0 {
				r.Call.Onsets = append(r.Call.Onsets, f.attacks[k].Time)
			}
		}
		r.Confidence = 1 / (1 + math.Exp(-(p.total()-threshold(p))/confidenceScale))
		out = append(out, r)
	}
	return out
}
