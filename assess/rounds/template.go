package rounds

import (
	"math"

	"clapladder.example/assess/onset"
	"clapladder.example/rhythm"
)

// template is a phrase made ready for matching.
type template struct {
	index    int
	id       string
	phrase   rhythm.Phrase
	notes    []float64 // times of the notes after the first at the phrase's own tempo, seconds; notes[0] is 0
	span     float64   // from first to last note, seconds
	shortest float64   // smallest interval, seconds
	low      bool      // has stamps or pats

	logSpan     float64 // natural logarithm of span
	silentStart bool    // begins with a rest
}

// isLow tells stamps and pats, whose power lies below the clap band.
func isLow(s rhythm.Sound) bool { return s == rhythm.Stamp || s == rhythm.Pat }

func newTemplate(index int, t Template) template {
	strokes := t.Phrase.Strokes()
	out := template{index: index, id: t.ID, phrase: t.Phrase, shortest: math.Inf(1)}
	first := t.Phrase.Seconds(strokes[0].Step)
	for i, s := range strokes {
		at := t.Phrase.Seconds(s.Step) - first
		if i > 0 {
			out.shortest = min(out.shortest, at-out.notes[i-1])
		}
		out.notes = append(out.notes, at)
		out.low = out.low || isLow(s.Sound)
	}
	out.span = out.notes[len(out.notes)-1]
	out.logSpan, out.silentStart = math.Log(out.span), strokes[0].Step > 0
	return out
}

// nearest finds the attack closest to a time in constant time.
type nearest struct {
	attacks []onset.Attack
	table   []int32
}

const nearestStep = 0.005 // seconds

func newNearest(attacks []onset.Attack, seconds float64) nearest {
	n := nearest{attacks: attacks, table: make([]int32, int(seconds/nearestStep)+2)}
	k := 0
	for i := range n.table {
		at := float64(i) * nearestStep
		for k+1 < len(attacks) && math.Abs(attacks[k+1].Time-at) <= math.Abs(attacks[k].Time-at) {
			k++
		}
		n.table[i] = int32(k)
	}
	return n
}

// index is the attack nearest to t, or -1 where none lies within reach seconds.
func (n nearest) index(t, reach float64) int {
	if len(n.attacks) == 0 || t < -reach {
		return -1
	}
	i := int(n.table[min(max(int(t/nearestStep+0.5), 0), len(n.table)-1)])
	if math.Abs(n.attacks[i].Time-t) > reach {
		return -1
	}
	return i
}
