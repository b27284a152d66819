package difficulty

import "clapladder.example/rhythm"

// walk measures one phrase in one pass over its beats. It lives on the stack: measuring a million phrases must not
// touch the heap. causes is nil unless the places are wanted too.
type walk struct {
	values Features
	causes *[]cause

	phrase  rhythm.Phrase
	strokes []rhythm.Stroke
	beats   []int // with the end of the phrase as last element
	shape   shape

	halves    [8]int // lengths of equal halves in steps, longest first; 64 bars halve seven times at most
	halvings  int
	intervals intervalBag
	division  divisionKinds
}

func (w *walk) add(f Feature, kind causeKind, from, to int, amount float64) {
	w.values[f] += amount
	if w.causes != nil && amount != 0 {
		*w.causes = append(*w.causes, cause{f, kind, from, to, amount})
	}
}

// What a repeated part counts toward Length and Variety. A second half that equals the first is heard as such (Drake 1993:
// rhythms of two equal halves are copied better); that goes for halves of halves too, down to half a bar. A bar that comes back
// otherwise helps little: in the clap-back examination of 2015 it did not show at all. The figures themselves are a choice.
const (
	halfRepeatShare = 0.5
	barRepeatShare  = 0.9 // of a bar that is one of the two before it
)

func (w *walk) run(p rhythm.Phrase) {
	w.phrase, w.strokes, w.beats = p, p.Strokes(), p.BeatSteps()
	if len(w.strokes) == 0 {
		return
	}
	w.shape = shapeOf(p.Meter())
	barSteps, lastStroke := p.BarSteps(), w.strokes[len(w.strokes)-1].Step
	w.halve()
	share := 1.0
	next := 0 // first stroke not yet passed
	for i := range len(w.beats) - 1 {
		start, end := w.beats[i], w.beats[i+1]
		if start > lastStroke {
			w.tail(start)
			break
		}
		inBar := i % w.shape.beats
		if inBar == 0 {
			share = 1
			if w.repeats(next, start, barSteps, barSteps) || w.repeats(next, start, 2*barSteps, barSteps) {
				share = barRepeatShare
			}
		}
		share := min(share, w.halfShare(start))
		first := next
		for next < len(w.strokes) && w.strokes[next].Step < end {
			next++
		}
		w.add(Length, longPhrase, start, end, share)
		w.beat(i, inBar, first, next, share)
	}
	w.values[Length] = spanLength(w.values[Length])
	w.add(Variety, variedIntervals, 0, p.Steps(), w.intervals.bits())
	w.divisions()
	w.pace()
	w.metre()
	w.sounds()
}

// halve finds the halves: as long as the second half of what is left equals the first, and is whole bars or half a bar of two
// beats or more.
func (w *walk) halve() {
	bar := w.phrase.BarSteps()
	smallest := bar
	if w.shape.half > 0 {
		smallest = w.beats[w.shape.half]
	}
	for part := w.phrase.Steps(); part%2 == 0; {
		part /= 2
		if part < smallest || (part%bar != 0 && part != smallest) {
			return
		}
		next := 0
		for next < len(w.strokes) && w.strokes[next].Step < part {
			next++
		}
		if !w.repeats(next, part, part, part) {
			return
		}
		w.halves[w.halvings] = part
		w.halvings++
	}
}

// halfShare is what a beat at the given step counts for the second halves that it lies in.
func (w *walk) halfShare(step int) float64 {
	share := 1.0
	for _, half := range w.halves[:w.halvings] {
		if step >= half {
			share *= halfRepeatShare
			step -= half
		}
	}
	return share
}

// repeats reports whether the part of the given length that begins at step start, whose first stroke is next, has the
// strokes of the part that begins back steps earlier.
func (w *walk) repeats(next, start, back, length int) bool {
	if start < back {
		return false
	}
	earlier := next
	for earlier > 0 && w.strokes[earlier-1].Step >= start-back {
		earlier--
	}
	for ; ; earlier, next = earlier+1, next+1 {
		earlierDone := w.strokes[earlier].Step >= start-back+length
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
		cost := silentStartCost
		if inBar == 0 {
			cost += missingFirstCost
		}
		w.add(SilentBeats, silentStart, start, w.strokes[first].Step+1, cost)
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
			cost := uneven(step-w.strokes[k-1].Step, until-step)
			w.add(Unevenness, unevenInterval, w.strokes[k-1].Step, until, cost*share)
			if until-step != step-w.strokes[k-1].Step {
				w.add(Variety, variedIntervals, w.strokes[k-1].Step, until, changeBits*share)
			}
		}
	}
}
