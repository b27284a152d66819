package patterns

import "math"

// Silent beats: a beat with nothing in it, one whose first stroke comes late, and the silence after the last stroke.
const (
	silentBeatCost     = 0.5
	silentDownbeatCost = 1.0
	silentTailCost     = 0.5
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
