package features

// span adds the beats from the first stroke to the last, as the tempo counts beats: quarters where
// beats are of unequal length. A repeated bar counts in full: on rhythms of equal length, changes
// and distance from the beat, a repeat made none easier.
func (w *walk) span() {
	first, last := w.strokes[0].Step, w.strokes[len(w.strokes)-1].Step
	beats := float64(last-first) / float64(w.phrase.StepsPerQuarter()) / w.phrase.Meter().TempoQuarters()
	w.add(Span, LongPhrase, 0, w.phrase.Steps(), beats)
}

// runs counts the stretches of equal neighbouring gaps between strokes: gaps of 1 1 2 2 1 are
// three.
func (w *walk) runs() {
	count, before := 0, 0
	for k := 1; k < len(w.strokes); k++ {
		if gap := w.strokes[k].Step - w.strokes[k-1].Step; gap != before {
			count, before = count+1, gap
		}
	}
	w.add(Runs, ChangingGaps, 0, w.phrase.Steps(), float64(count))
}

// Costs of silent beats. A beat whose first stroke comes late has to be felt and not heard; a
// missing first beat of the bar disturbs most (Song et al. 2013). The silence after the last stroke
// only has to be kept.
const (
	silentBeatCost   = 0.25 // nothing in the beat
	silentStartCost  = 1.0  // a stroke in the beat but none on it
	missingFirstCost = 0.5  // more, where that is the first beat of the bar
	silentTailCost   = 0.25
)

// silence adds beat i, with strokes first up to next, where nothing sounds on it.
func (w *walk) silence(i, inBar, first, next int) {
	start, end := w.beats[i], w.beats[i+1]
	switch {
	case first == next:
		w.add(SilentBeats, SilentBeat, start, end, silentBeatCost)
	case w.strokes[first].Step != start:
		cost := silentStartCost
		if inBar == 0 {
			cost += missingFirstCost
		}
		w.add(SilentBeats, SilentStart, start, w.strokes[first].Step+1, cost)
	}
}

// tail adds the silence from step start, a beat after the last stroke, to the end of the phrase.
func (w *walk) tail(start int) {
	w.add(SilentBeats, SilentTail, start, w.phrase.Steps(), silentTailCost)
}
