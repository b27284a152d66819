package rounds

import (
	"math"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/rhythm"
)

// template is a phrase made ready for matching.
type template struct {
	index    int
	id       string
	phrase   rhythm.Phrase
	shares   []float64 // where the notes lie between the first, 0, and the last, 1
	closest  float64   // smallest interval as such a share
	span     float64   // from first to last note at the phrase's own tempo, seconds
	shortest float64   // smallest interval, seconds
	rest     float64   // from the first note to the end of the phrase, seconds
	low      bool      // has stamps or pats

	logSpan     float64 // natural logarithm of span
	expected    float64 // the same at the tempo that all calls keep, where it is known
	silentStart bool    // begins with a rest
}

// isLow tells stamps and pats, whose power lies below the clap band.
func isLow(s rhythm.Sound) bool { return s == rhythm.Stamp || s == rhythm.Pat }

func newTemplate(index int, t Template, tempo float64) template {
	strokes := t.Phrase.Strokes()
	first, last := strokes[0].Step, strokes[len(strokes)-1].Step
	out := template{
		index: index, id: t.ID, phrase: t.Phrase, silentStart: first > 0,
		span: t.Phrase.Seconds(last - first), closest: math.Inf(1), rest: t.Phrase.Seconds(t.Phrase.Steps() - first),
	}
	for i, s := range strokes {
		if i > 0 {
			out.closest = min(out.closest, float64(s.Step-strokes[i-1].Step)/float64(last-first))
		}
		out.shares = append(out.shares, float64(s.Step-first)/float64(last-first))
		out.low = out.low || isLow(s.Sound)
	}
	out.shortest = out.closest * out.span
	out.logSpan = math.Log(out.span)
	out.expected = out.logSpan
	if tempo > 0 {
		out.expected += math.Log(t.Phrase.Tempo() / tempo)
	}
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
