package rounds

import (
	"cmp"
	"math"
	"slices"
)

// prefixTree holds the notes of all templates as shares of the time from the first note to the
// last, so that templates that begin alike are laid on the attacks together, whatever their tempo:
// a bank of thousands costs little more than one of fifty.
type prefixTree struct {
	roots []*prefix // one for each shortest interval: how far off a note may be depends on it
}

// prefix is a first part of one template or of many.
type prefix struct {
	at       float64     // where its last note lies, 0 for the first note and 1 for the last
	closest  float64     // smallest interval of each of its templates, as a share
	next     []*prefix   // ascending in at
	whole    []*template // those that end here
	fewest   int         // notes that still follow, in the templates that begin like this
	most     int
	spans    interval // logarithm of the templates' time from first to last note, at their own tempo
	expected interval // the same at the tempo expected here
}

type interval struct{ low, high float64 }

// off is how far x lies outside.
func (i interval) off(x float64) float64 { return max(0, i.low-x, x-i.high) }

// joined is the smallest interval around both.
func (i interval) joined(j interval) interval {
	return interval{min(i.low, j.low), max(i.high, j.high)}
}

func newPrefixTree(templates []template) prefixTree {
	var usable []*template
	for i := range templates {
		if n := len(templates[i].shares); n >= 2 && n <= mostNotes {
			usable = append(usable, &templates[i])
		}
	}
	slices.SortStableFunc(usable, func(a, b *template) int {
		return cmp.Or(cmp.Compare(a.closest, b.closest), slices.Compare(a.shares, b.shares))
	})
	var tree prefixTree
	for _, alike := range runs(usable, func(t *template) float64 { return t.closest }) {
		tree.roots = append(tree.roots, newPrefix(alike, 1))
	}
	return tree
}

// newPrefix is the first notes that all the templates (in order of their notes) share, and what
// follows them.
func newPrefix(templates []*template, notes int) *prefix {
	p := &prefix{
		at: templates[0].shares[notes-1], closest: templates[0].closest, fewest: math.MaxInt,
		spans: interval{math.Inf(1), math.Inf(-1)}, expected: interval{math.Inf(1), math.Inf(-1)},
	}
	// the last note is at 1 and at no other place: all or none
	for len(templates) > 0 && len(templates[0].shares) == notes {
		p.whole, templates = append(p.whole, templates[0]), templates[1:]
	}
	for _, t := range p.whole {
		p.fewest = 0
		p.spans = p.spans.joined(interval{t.logSpan, t.logSpan})
		p.expected = p.expected.joined(interval{t.expected, t.expected})
	}
	for _, alike := range runs(templates, func(t *template) float64 { return t.shares[notes] }) {
		next := newPrefix(alike, notes+1)
		p.next = append(p.next, next)
		p.fewest, p.most = min(p.fewest, next.fewest+1), max(p.most, next.most+1)
		p.spans, p.expected = p.spans.joined(next.spans), p.expected.joined(next.expected)
	}
	return p
}

// runs parts templates where the key changes.
func runs(templates []*template, key func(*template) float64) [][]*template {
	var out [][]*template
	for from := 0; from < len(templates); {
		to := from + 1
		for to < len(templates) && key(templates[to]) == key(templates[from]) {
			to++
		}
		out, from = append(out, templates[from:to]), to
	}
	return out
}
