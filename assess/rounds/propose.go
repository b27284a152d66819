package rounds

import (
	"context"
	"math"
	"slices"
	"sort"

	"clapladder.example/assess/onset"
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

// Scores are natural-log odds against "these attacks are something else". Set on synthetic warm-ups of the tuning half.
const (
	noteEarns      = 2.6   // an attack where a note is expected
	noteMissing    = 9.0   // silence where a note is expected
	noteMasked     = 4.0   // no attack, but some sound
	maskedFrom     = 0.2   // activity from which a missing note may only be masked
	silentStart    = 1.5   // a phrase that begins with a rest is a rarer reading of the same claps
	strangerCosts  = 4.0   // an attack of the leader where the phrase has none
	timingSD       = 0.018 // seconds
	levelSD        = 4.5   // dB
	colourSD       = 0.15
	thumpSD        = 5.0  // dB
	oddKindCosts   = 0.8  // a low stroke among high ones, or a high one among low ones, where the phrase has none
	tempoSD        = 0.14 // natural log, around the phrase's own tempo
	tempoHintSD    = 0.04
	slowest        = 0.58 // of the phrase's own tempo
	fastest        = 1.7
	shortestMatch  = 0.022 // seconds: an attack within this is on time at any speed
	longestMatch   = 0.05
	matchShare     = 0.22 // of the shortest interval
	keepPerStart   = 6
	leastCall      = 4.5 // a proposal that earns less is dropped
	firstNoteOdds  = -2.2
	shortestSecond = 0.085 // seconds: the shortest interval two hands make
)

// propose lists calls with their answers, best first at each starting attack, in order of time.
func (f *finder) propose(ctx context.Context) ([]proposal, error) {
	var all []proposal
	var best []proposal
	for i := range f.attacks {
		if f.leader.odds[i] < firstNoteOdds {
			continue
		}
		if i%64 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		best = best[:0]
		f.measureSpans(i)
		for t := range f.templates {
			best = f.proposeTemplate(best, &f.templates[t], i)
		}
		for _, p := range best {
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

// measureSpans prepares the attacks that may be last notes of calls from attack i on.
func (f *finder) measureSpans(i int) {
	f.spans = f.spans[:0]
	longest := 0.0
	for t := range f.templates {
		longest = max(longest, f.templates[t].span/slowest)
	}
	for k := i + 1; k < len(f.attacks); k++ {
		seconds := f.attacks[k].Time - f.attacks[i].Time
		if seconds > longest {
			break
		}
		if f.leader.odds[k] >= firstNoteOdds {
			f.spans = append(f.spans, span{seconds, math.Log(seconds)})
		}
	}
}

// span is a distance between two attacks.
type span struct {
	seconds float64
	log     float64 // natural
}

// proposeTemplate adds the best reading of the template that begins at attack i; the attacks that it may end with were measured before. best holds
// the keepPerStart best, in falling order, and equals in the order of the templates; what cannot become one of them is given up early,
// which keeps large banks cheap.
func (f *finder) proposeTemplate(best []proposal, t *template, i int) []proposal {
	if len(t.notes) < 2 {
		return best
	}
	low, high := t.span/fastest, t.span/slowest
	floor := leastCall
	if len(best) == keepPerStart {
		floor = best[keepPerStart-1].earned
	}
	if most := float64(len(t.notes)) * (noteEarns + 1); most <= floor {
		return best
	}
	top := proposal{earned: floor}
	found := false
	var matched [256]int
	first := sort.Search(len(f.spans), func(k int) bool { return f.spans[k].seconds >= low })
	for _, end := range f.spans[first:] {
		if end.seconds > high {
			break
		}
		ratio := end.seconds / t.span
		if t.shortest*ratio < shortestSecond || len(t.notes) > len(matched) {
			continue
		}
		earned, ok := f.match(t, i, ratio, f.tempoEarns(t, end.log), matched[:len(t.notes)], top.earned)
		if ok && earned > top.earned {
			top.earned, found = earned, true
			top.matched = append(top.matched[:0], matched[:len(t.notes)]...)
		}
	}
	if !found {
		return best
	}
	top.template, top.phrase = t.index, t.phrase
	at, _ := slices.BinarySearchFunc(best, top.earned, func(p proposal, earned float64) int {
		if p.earned >= earned {
			return -1
		}
		return 1
	})
	if len(best) == keepPerStart {
		best = best[:keepPerStart-1]
	}
	return slices.Insert(best, at, top)
}

// match scores the template laid from attack i at the given ratio to its own time; earned is what the tempo earns. It gives up when the score
// can no longer reach least.
func (f *finder) match(t *template, i int, ratio, earned float64, matched []int, least float64) (float64, bool) {
	start := f.attacks[i].Time
	reach := min(max(matchShare*t.shortest*ratio, shortestMatch), longestMatch)
	if t.silentStart {
		earned -= silentStart
	}
	left := float64(len(t.notes)) * (noteEarns + 1)
	if earned+left < least {
		return 0, false
	}
	level, met := 0.0, 0
	for n, at := range t.notes {
		k := f.nearest.index(start+at*ratio, reach)
		left -= noteEarns + 1
		if k < 0 || (n > 0 && k == matched[n-1]) {
			matched[n] = -1
			earned -= f.missing(start + at*ratio)
		} else {
			matched[n] = k
			late := (f.attacks[k].Time - start - at*ratio) / timingSD
			earned += noteEarns + clampOdds(f.leader.odds[k]) - min(late*late/2, 3)
			level += f.leader.level[k]
			met++
		}
		if earned+left < least {
			return 0, false
		}
	}
	if met < 2 {
		return 0, false
	}
	level /= float64(met)
	earned -= f.uneven(t, matched)
	if f.leader.known {
		off := (level - f.leader.loud) / (1.5 * levelSD)
		earned -= min(off*off/2, 4)
	}
	if earned < least {
		return 0, false
	}
	return earned - f.strangers(t, i, ratio, matched, level), true
}

// uneven is what it costs that notes of one kind, high as a clap or low as a stamp, do not sound alike.
func (f *finder) uneven(t *template, matched []int) float64 {
	var n, level, colour, thump [2]float64
	for _, k := range matched {
		if k >= 0 {
			i := kind(f.attacks[k])
			n[i], level[i] = n[i]+1, level[i]+f.leader.level[k]
			colour[i], thump[i] = colour[i]+f.attacks[k].Colour, thump[i]+f.attacks[k].Thump
		}
	}
	cost := 0.0
	if !t.low {
		cost = oddKindCosts * min(n[0], n[1])
	}
	for _, k := range matched {
		if k >= 0 {
			i := kind(f.attacks[k])
			l := (f.leader.level[k] - level[i]/n[i]) / levelSD
			c, t := (f.attacks[k].Colour-colour[i]/n[i])/colourSD, (f.attacks[k].Thump-thump[i]/n[i])/thumpSD
			cost += min(l*l/2, 2) + min((c*c+t*t)/2, 1)
		}
	}
	return cost
}

// kind is 1 for an attack as low as a stamp or a pat, 0 for others.
func kind(a onset.Attack) int {
	if a.Low {
		return 1
	}
	return 0
}

// missing is what it costs that no attack meets a note at the given time.
func (f *finder) missing(at float64) float64 {
	if f.activity.average(at-0.02, at+0.03) > maskedFrom {
		return noteMasked
	}
	return noteMissing
}

// clampOdds bounds what the sound of one attack can say for or against the leader.
func clampOdds(odds float64) float64 { return max(-3, min(1, odds/2)) }

// tempoEarns is what a template at another tempo costs, negative; logSpan is the natural logarithm of the time from its first to its last note.
func (f *finder) tempoEarns(t *template, logSpan float64) float64 {
	off := (logSpan - t.logSpan) / tempoSD
	if f.options.Tempo > 0 {
		off = (math.Log(t.phrase.Tempo()/f.options.Tempo) - (logSpan - t.logSpan)) / tempoHintSD
	}
	return -min(off*off/2, 5)
}

// strangers is what attacks between the notes cost: before the first note half a shortest interval, after the last until
// shortly before the bar ends, where the group may come in early.
func (f *finder) strangers(t *template, i int, ratio float64, matched []int, level float64) float64 {
	start := f.attacks[i].Time
	rest := t.phrase.Duration() - t.phrase.Seconds(t.phrase.Strokes()[0].Step) // first note to the end of the phrase
	end := start + max(t.span*ratio+0.02, rest*ratio-max(0.13, 0.25*t.shortest*ratio))
	cost := 0.0
	next := 0
	for k := i + 1; k < len(f.attacks) && f.attacks[k].Time < end; k++ {
		for next < len(matched) && (matched[next] < k) {
			next++
		}
		if next < len(matched) && matched[next] == k {
			continue
		}
		own := 1 / (1 + math.Exp(-f.leader.odds[k]))
		near := 1 / (1 + math.Exp(-(f.leader.level[k]-level+9)/2)) // 9 dB below the call's level it is half a stranger
		cost += strangerCosts * own * near
	}
	return cost
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
