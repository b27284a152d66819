package rounds

import (
	"context"
	"runtime"
	"slices"
	"sync"

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

// propose lists calls with their answers, best first at each starting attack, in order of time. Attacks are shared out among the processors a
// stretch at a time; what begins at one does not depend on any other.
func (f *finder) propose(ctx context.Context) ([]proposal, error) {
	stretches := make([][]proposal, (len(f.attacks)+stretch-1)/stretch)
	gain, own := f.worth()
	workers := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			p := proposer{finder: f, matcher: matcher{f: f, gain: gain, own: own}}
			for k := w; k < len(stretches) && ctx.Err() == nil; k += workers {
				for i := k * stretch; i < min((k+1)*stretch, len(f.attacks)); i++ {
					stretches[k] = p.from(stretches[k], i)
				}
			}
		})
	}
	wait.Wait()
	return slices.Concat(stretches...), ctx.Err()
}

// stretch is how many attacks are looked at in one go.
const stretch = 64

// proposer is a finder with what one goroutine needs for itself.
type proposer struct {
	*finder
	matcher matcher
	seeking scratch
}

// from adds the calls that begin at attack i.
func (p *proposer) from(all []proposal, i int) []proposal {
	if p.leader.odds[i] < firstNoteOdds {
		return all
	}
	for _, call := range p.matcher.from(i) {
		readings := p.withAnswers(p.timed(call), &p.seeking)
		all = append(all, readings...)
		for _, reading := range readings {
			if counted, ok := p.withCountIn(reading); ok {
				all = append(all, counted)
			}
		}
	}
	return p.improvise(all, i)
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
