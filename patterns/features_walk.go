package patterns

import "clapladder.example/rhythm"

// walk measures one phrase in one pass over its beats. It lives on the stack: measuring a million phrases must not
// touch the heap. causes is nil unless the places are wanted too.
type walk struct {
	values Features
	causes *[]cause

	phrase  *rhythm.Phrase
	strokes []rhythm.Stroke
	beats   []int // with the end of the phrase as last element
	shape   shape

	intervals intervalBag
	division  divisionKinds
}

func (w *walk) add(f Feature, kind causeKind, from, to int, amount float64) {
	w.values[f] += amount
	if w.causes != nil && amount != 0 {
		*w.causes = append(*w.causes, cause{f, kind, from, to, amount})
	}
}

// repeatShare is what a bar or half bar that repeats the one before counts toward Length and Variety.
const repeatShare = 0.5

func (w *walk) run(p *rhythm.Phrase) {
	w.phrase, w.strokes, w.beats = p, p.Strokes(), p.BeatSteps()
	if len(w.strokes) == 0 {
		return
	}
	w.shape = shapeOf(p.Meter())
	barSteps, lastStroke := p.BarSteps(), w.strokes[len(w.strokes)-1].Step
	share, barShare := 1.0, 1.0
	next := 0 // first stroke not yet passed
	for i := range len(w.beats) - 1 {
		start, end := w.beats[i], w.beats[i+1]
		if start > lastStroke {
			w.tail(start)
			break
		}
		inBar := i % w.shape.beats
		if inBar == 0 {
			share, barShare = 1, 1
			if w.repeats(next, start, barSteps) || w.repeats(next, start, 2*barSteps) {
				barShare = repeatShare
			}
			share = barShare
		}
		if inBar == w.shape.half && w.shape.half > 0 && barShare == 1 && w.repeats(next, start, start-w.beats[i-inBar]) {
			share = repeatShare
		}
		first := next
		for next < len(w.strokes) && w.strokes[next].Step < end {
			next++
		}
		w.add(Length, longPhrase, start, end, share)
		w.beat(i, inBar, first, next, share)
	}
	w.add(Variety, variedIntervals, 0, p.Steps(), w.intervals.bits())
	w.divisions()
	w.pace()
	w.metre()
	w.sounds()
}

// repeats reports whether the part of the given length that begins at step start, whose first stroke is next, has the
// strokes of the part that begins back steps earlier. The two parts are as long as they are apart, but never more than
// a bar.
func (w *walk) repeats(next, start, back int) bool {
	if start < back {
		return false
	}
	length := min(back, w.phrase.BarSteps())
	earlier := next
	for earlier > 0 && w.strokes[earlier-1].Step >= start-back {
		earlier--
	}
	for ; ; earlier, next = earlier+1, next+1 {
		earlierDone := earlier == len(w.strokes) || w.strokes[earlier].Step >= start-back+length
		done := next == len(w.strokes) || w.strokes[next].Step >= start+length
		if earlierDone || done {
			return earlierDone && done
		}
		if w.strokes[earlier].Step+back != w.strokes[next].Step || w.strokes[earlier].Sound != w.strokes[next].Sound {
			return false
		}
	}
}

// beat adds what beat i holds: strokes first up to next.
func (w *walk) beat(i, inBar, first, next int, share float64) {
	start, end := w.beats[i], w.beats[i+1]
	switch {
	case first == next:
		w.add(SilentBeats, silentBeat, start, end, silentBeatCost)
	case w.strokes[first].Step != start:
		w.add(SilentBeats, silentDownbeat, start, w.strokes[first].Step+1, silentDownbeatCost)
	}
	w.division.beat(w, i, inBar, first, next)
	for k := first; k < next; k++ {
		step, until := w.strokes[k].Step, w.phrase.Steps()
		if k+1 < len(w.strokes) {
			until = w.strokes[k+1].Step
			w.intervals.add(until-step, share)
		}
		w.syncopation(i, inBar, step, until)
		if k > 0 && k+1 < len(w.strokes) {
			cost := unevenness(step-w.strokes[k-1].Step, until-step)
			w.add(Division, unevenInterval, w.strokes[k-1].Step, until, cost*share)
		}
	}
}
