package rounds

import (
	"context"
	"runtime"
	"slices"
	"sync"

	"clapladder.example/rhythm"
)

// pass is one look at the recording, with what is believed by then of who sounds when. It never
// changes once made: what a pass finds teaches the next one.
type pass struct {
	*recording
	*book
	leader leader
	group  bands // activity without the leader's strokes, as far as those are known
	habit  habit
}

// firstPass believes what holds anywhere.
func firstPass(r *recording, b *book) *pass {
	return &pass{recording: r, book: b, leader: leader{odds: r.single}, group: r.everyone}
}

// learnt is the next pass: its leader sounds, and its group answers, as in the rounds chosen.
func (p *pass) learnt(chosen []proposal) *pass {
	next := &pass{recording: p.recording, book: p.book, habit: learnHabit(chosen)}
	next.leader = p.leader.learnt(p.recording, chosen)
	next.group = bands{
		clap: p.everyone.clap.without(p.attacks, next.leader.share),
		full: p.everyone.full.without(p.attacks, next.leader.share),
	}
	return next
}

// proposal is a call, perhaps with its answer, that may be chosen.
type proposal struct {
	template int           // -1: improvised
	phrase   rhythm.Phrase // zero until transcribed where improvised
	call     rhythm.TimeMap
	matched  []int   // attack of each note, -1 where none
	earned   float64 // by the call
	answer   *Answer
	answered float64 // what the answer earns
	from, to float64 // seconds: span of the answer
	start    float64 // seconds: first note
	end      float64 // seconds: where the next round may begin
}

func (p proposal) total() float64 { return p.earned + p.answered }

// met are the attacks that notes met, in order of time.
func (p proposal) met() []int {
	out := make([]int, 0, len(p.matched))
	for _, k := range p.matched {
		if k >= 0 {
			out = append(out, k)
		}
	}
	return out
}

// propose lists calls with their answers, best first at each starting attack, in order of time.
// Attacks are shared out among the processors a stretch at a time; what begins at one does not
// depend on any other.
func (p *pass) propose(ctx context.Context) ([]proposal, error) {
	stretches := make([][]proposal, (len(p.attacks)+stretch-1)/stretch)
	worth := newWorth(p)
	workers := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			worker := proposer{pass: p, matcher: matcher{pass: p, worth: worth}}
			for k := w; k < len(stretches) && ctx.Err() == nil; k += workers {
				for i := k * stretch; i < min((k+1)*stretch, len(p.attacks)); i++ {
					stretches[k] = worker.from(stretches[k], i)
				}
			}
		})
	}
	wait.Wait()
	return slices.Concat(stretches...), ctx.Err()
}

// stretch is how many attacks are looked at in one go.
const stretch = 64

// proposer is a pass with what one goroutine needs for itself.
type proposer struct {
	*pass
	matcher matcher
	scratch scratch
}

// from adds the calls that begin at attack i.
func (w *proposer) from(all []proposal, i int) []proposal {
	if w.leader.odds[i] < firstNoteOdds {
		return all
	}
	for _, call := range w.matcher.from(i) {
		readings := w.withAnswers(w.timed(call), &w.scratch)
		all = append(all, readings...)
		for _, reading := range readings {
			if counted, ok := w.withCountIn(reading); ok {
				all = append(all, counted)
			}
		}
	}
	return w.improvise(all, i)
}

// timed fits the call's time map to its matched attacks and fills in the bounds.
func (p *pass) timed(call proposal) proposal {
	var steps, times []float64
	strokes := call.phrase.Strokes()
	for n, k := range call.matched {
		if k >= 0 {
			steps = append(steps, float64(strokes[n].Step))
			times = append(times, p.attacks[k].Time)
		}
	}
	call.call = rhythm.FitTimeMap(steps, times)
	call.start = call.call.At(float64(strokes[0].Step))
	call.end = call.call.At(float64(call.phrase.Steps()))
	return call
}

// withCountIn is the proposal with the bar of beats before it, where that was counted in by
// strokes, clapped or with sticks.
func (p *pass) withCountIn(call proposal) (proposal, bool) {
	perBar := call.phrase.Meter().Beats()
	bar := float64(call.phrase.BarSteps())
	var first float64
	for i := range perBar {
		at := call.call.At(float64(call.phrase.BeatSteps()[i]) - bar)
		k := p.nearest.index(at, countInReach)
		if k < 0 || p.leader.odds[k] < 0 {
			return call, false
		}
		call.earned += countInEarns + clampOdds(p.leader.odds[k])
		if i == 0 || p.attacks[k].Time < first {
			first = p.attacks[k].Time
		}
	}
	beat := call.call.BeatSeconds(call.phrase)
	if k := p.nearest.index(first-beat, countInClear*beat/2); k >= 0 && p.leader.odds[k] > 0 {
		return call, false // the beats went on before: it is no count-in
	}
	call.earned -= countInCosts
	call.start = first
	return call, true
}

// hands is the group's activity in the bands in which the call sounds.
func (p *pass) hands(call proposal) *activity {
	if p.low(call) != nil {
		return p.group.full
	}
	return p.group.clap
}

// low tells which strokes of a call are stamps or pats: those that the phrase says, and those that
// sounded low among others that did not. A leader with a drum sounds low throughout, while the
// group claps. It is nil where there is none.
func (p *pass) low(call proposal) []bool {
	strokes := call.phrase.Strokes()
	var heard [2]int
	for _, k := range call.met() {
		heard[kind(p.attacks[k])]++
	}
	mixed := heard[0] > 0 && heard[1] > 0
	var out []bool
	for i, s := range strokes {
		low := isLow(s.Sound) ||
			mixed && i < len(call.matched) && call.matched[i] >= 0 && p.attacks[call.matched[i]].Low
		if low && out == nil {
			out = make([]bool, len(strokes))
		}
		if low {
			out[i] = true
		}
	}
	return out
}
