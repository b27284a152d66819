package rounds

import (
	"context"

	"clapladder.example/rhythm"
)

// proposal is a call, perhaps with its answer, that the dynamic programme may select.
type proposal struct {
	template int           // -1: improvised
	phrase   rhythm.Phrase // zero until transcribed where improvised
	call     rhythm.TimeMap
	matched  []int // attack of each note, -1 where none
	earned   float64
	answer   *Answer
	answered float64 // what the answer earns
	from, to float64 // seconds: span of the answer
	start    float64 // seconds: first note
	end      float64 // seconds: where the next round may begin
}

func (p proposal) total() float64 { return p.earned + p.answered }

// firstNoteOdds are the least odds of the leader's for an attack to be a call's first or last note.
const firstNoteOdds = -2.2

// propose lists calls with their answers, best first at each starting attack, in order of time.
func (f *finder) propose(ctx context.Context) ([]proposal, error) {
	var all []proposal
	matcher := f.newMatcher()
	for i := range f.attacks {
		if i%64 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if f.leader.odds[i] < firstNoteOdds {
			continue
		}
		for _, p := range matcher.from(i) {
			readings := f.withAnswers(f.timed(p))
			all = append(all, readings...)
			for _, reading := range readings {
				if counted, ok := f.withCountIn(reading); ok {
					all = append(all, counted)
				}
			}
		}
		all = f.improvise(all, i)
	}
	return all, nil
}

// timed fits the call's time map to its matched attacks and fills in the bounds.
func (f *finder) timed(p proposal) proposal {
	var xs, ys []float64
	for n, k := range p.matched {
		if k >= 0 {
			xs = append(xs, float64(p.phrase.Strokes()[n].Step))
			ys = append(ys, f.attacks[k].Time)
		}
	}
	p.call = rhythm.FitTimeMap(xs, ys)
	p.start = p.call.At(float64(p.phrase.Strokes()[0].Step))
	p.end = p.call.At(float64(p.phrase.Steps()))
	return p
}
