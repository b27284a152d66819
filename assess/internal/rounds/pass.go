package rounds

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync"

	"clapladder.example/assess/internal/activity"
	"clapladder.example/rhythm"
)

// pass is one look at the recording, with what is believed by then of who sounds when. It never
// changes once made: what a pass finds teaches the next one.
type pass struct {
	*recording
	*book
	leader leader
	group  group // activity without the leader's strokes, as far as those are known
	habit  habit
	reads  bool // whether calls of a rhythm of their own are looked for
	final  bool // nothing is learnt from its choice any more
}

// group is an activity as [bands] is. That of all bands is made when a call with stamps or pats
// asks for it: many recordings have none.
type group struct {
	clap *activity.Activity
	full func() *activity.Activity
}

// firstPass believes what holds anywhere.
func firstPass(r *recording, b *book) *pass {
	everyone := group{
		&r.everyone.clap.Activity, func() *activity.Activity { return &r.everyone.full.Activity },
	}
	return &pass{recording: r, book: b, leader: leader{odds: r.single}, group: everyone}
}

// reading is the same pass, which looks for calls of a rhythm of their own too.
func (p *pass) reading() *pass {
	next := *p
	next.reads = true
	return &next
}

// asFinal is the same pass, from whose choice nothing is learnt.
func (p *pass) asFinal() *pass {
	next := *p
	next.final = true
	return &next
}

// learnt is the next pass: its leader sounds, and its group answers, as in the rounds chosen.
func (p *pass) learnt(chosen []proposal) *pass {
	next := &pass{recording: p.recording, book: p.book, habit: learnHabit(chosen), reads: true}
	next.leader = p.leader.learnt(p.recording, chosen)
	next.group = group{
		p.everyone.clap.Without(p.attacks, next.leader.share),
		sync.OnceValue(func() *activity.Activity { return p.everyone.full.Without(p.attacks, next.leader.share) }),
	}
	return next
}

// proposal is a call, perhaps with its answer, that may be chosen.
type proposal struct {
	template int  // -1: a rhythm of its own
	guessed  bool // its metre and bars are a guess, which the answer may mend
	phrase   rhythm.Phrase
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

// answerOver is when the next round may begin: the leader need not wait until the answer's bar is
// over, and how many beats of silence end the bars of a free call is a guess.
func (p proposal) answerOver() float64 {
	strokes := p.phrase.Strokes()
	last := p.answer.Map.At(float64(strokes[len(strokes)-1].Step))
	return min(p.to, last+nextAfter)
}

// barsOver is when the bars of a round are over: of its answer, or of its call where it has none.
func (p proposal) barsOver() float64 {
	if p.answer != nil {
		return p.to
	}
	return p.end
}

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

// propose lists calls with their answers, best first at each starting attack, in order of time:
// those of the bank, and those of a rhythm of their own where no phrase of the bank explains every
// stroke.
func (p *pass) propose(ctx context.Context) ([]proposal, error) {
	worth := newWorth(p)
	calls := make([][]proposal, len(p.attacks))
	err := p.everyAttack(ctx, func(i int, w *proposer) {
		if !w.mayBound(i) {
			return
		}
		for _, call := range w.matcher.from(i) {
			calls[i] = append(calls[i], w.timed(call))
		}
	}, worth)
	if err != nil {
		return nil, err
	}
	explained := p.explained(calls)
	out := make([][]proposal, len(p.attacks))
	err = p.everyAttack(ctx, func(i int, w *proposer) {
		for _, call := range calls[i] {
			readings := w.withAnswers(call, &w.scratch)
			out[i] = append(out[i], readings...)
			for _, reading := range readings {
				if counted, ok := w.withCountIn(reading); ok {
					out[i] = append(out[i], counted)
				}
			}
		}
		if p.reads && !explained[i] {
			out[i] = w.variations(out[i], calls[i])
			out[i] = w.free(out[i], i)
		}
	}, worth)
	return slices.Concat(out...), err
}

// everyAttack does something with every attack, shared out among the processors a stretch at a
// time; what is done with one may not depend on any other. It returns ctx's error.
func (p *pass) everyAttack(ctx context.Context, do func(i int, w *proposer), worth worth) error {
	workers := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for first := range workers {
		wait.Go(func() {
			w := proposer{pass: p, matcher: newMatcher(p, worth)}
			for k := first * stretch; k < len(p.attacks) && ctx.Err() == nil; k += workers * stretch {
				for i := k; i < min(k+stretch, len(p.attacks)); i++ {
					do(i, &w)
				}
			}
		})
	}
	wait.Wait()
	return ctx.Err()
}

// stretch is how many attacks are looked at in one go.
const stretch = 64

// proposer is a pass with what one goroutine needs for itself.
type proposer struct {
	*pass
	matcher matcher
	scratch scratch
}

// explained tells which attacks need no rhythm of their own that begins there, because a phrase of
// the bank explains them and all of the leader's strokes around them.
func (p *pass) explained(calls [][]proposal) []bool {
	out := make([]bool, len(p.attacks))
	for _, at := range calls {
		for _, c := range at {
			if p.clean(c) {
				for k := c.matched[0]; k <= c.matched[len(c.matched)-1]; k++ {
					out[k] = true
				}
			}
		}
	}
	return out
}

// clean reports whether a call has a stroke of the leader's on every note, on time and at its
// tempo, and none between, before or after.
func (p *pass) clean(c proposal) bool {
	strokes := c.phrase.Strokes()
	for n, k := range c.matched {
		if k < 0 || math.Abs(p.attacks[k].Time-c.call.At(float64(strokes[n].Step))) > cleanTiming {
			return false
		}
		if n > 0 {
			for between := c.matched[n-1] + 1; between < k; between++ {
				if p.leader.odds[between] >= p.strokeOdds() {
					return false
				}
			}
		}
	}
	first, last := c.matched[0], c.matched[len(c.matched)-1]
	return p.leaderSilent(p.attacks[first].Time-startAfter, first) &&
		p.leaderSilent(c.end+cleanPause*(c.end-c.start), last)
}

// leaderSilent reports whether no stroke of the leader's lies between a time and an attack.
func (p *pass) leaderSilent(time float64, attack int) bool {
	from, to := p.attackFrom(time), attack
	if from > attack {
		from, to = attack+1, from
	}
	for k := from; k < to; k++ {
		if p.leader.odds[k] >= p.strokeOdds() {
			return false
		}
	}
	return true
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
		k := p.nearest.Index(at, countInReach)
		if k < 0 || p.leader.odds[k] < 0 {
			return call, false
		}
		call.earned += countInEarns + clampOdds(p.leader.odds[k])
		if i == 0 || p.attacks[k].Time < first {
			first = p.attacks[k].Time
		}
	}
	beat := call.call.BeatSeconds(call.phrase)
	if k := p.nearest.Index(first-beat, countInClear*beat/2); k >= 0 && p.leader.odds[k] > 0 {
		return call, false // the beats went on before: it is no count-in
	}
	call.earned -= countInCosts
	call.start = first
	return call, true
}

// hands is the group's activity in the bands in which the call sounds.
func (p *pass) hands(call proposal) *activity.Activity {
	if p.low(call) != nil {
		return p.group.full()
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
