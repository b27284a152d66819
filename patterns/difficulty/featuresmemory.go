package difficulty

import "math"

// Costs of silent beats. A beat whose first stroke comes late has to be felt and not heard; a missing first beat of the bar
// disturbs most (Song et al. 2013). The silence after the last stroke only has to be kept.
const (
	silentBeatCost   = 0.25 // nothing in the beat
	silentStartCost  = 1.0  // a stroke in the beat but none on it
	missingFirstCost = 0.5  // more, where that is the first beat of the bar
	silentTailCost   = 0.25
)

// tail adds the silence from step start, a beat after the last stroke, to the end of the phrase.
func (w *walk) tail(start int) {
	w.add(SilentBeats, silentTail, start, w.phrase.Steps(), silentTailCost)
}

// intervalBag counts intervals between strokes, each with a share of 1 or less.
type intervalBag struct {
	size  [16]int
	count [16]float64
	kinds int
	total float64
	other float64 // intervals beyond the sixteenth kind, each a kind of its own
}

func (b *intervalBag) add(interval int, share float64) {
	b.total += share
	for k := range b.kinds {
		if b.size[k] == interval {
			b.count[k] += share
			return
		}
	}
	if b.kinds == len(b.size) {
		b.other += share
		return
	}
	b.size[b.kinds], b.count[b.kinds] = interval, share
	b.kinds++
}

// bits is the information in the intervals: their number times the entropy of their sizes (Shannon).
func (b *intervalBag) bits() float64 {
	sum := 0.0
	for _, count := range b.count[:b.kinds] {
		sum += count * math.Log2(b.total/count)
	}
	if b.other > 0 {
		sum += b.other * math.Log2(b.total)
	}
	return sum
}

// changeBits is what each change of interval adds to Variety: the order of intervals has to be kept too.
const changeBits = 0.5

// Beats within the span of memory for rhythm, 7 to 12 onsets with a beat (from memory, no source), cost less than those beyond.
const (
	spanBeats = 8.0
	spanShare = 0.5
)

func spanLength(beats float64) float64 {
	return spanShare*min(beats, spanBeats) + max(0, beats-spanBeats)
}
