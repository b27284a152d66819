package measure

// longuetHigginsLeeTerminal is the variant of longuetHigginsLee in Song's toolkit (Song, Pearce &
// Harte, Sound and Music Computing 2015), restated from descriptions of it: the metre's tree is cut
// down to terminal nodes, stretches that hold at most one note, on their first point. Every
// terminal rest R that is at least as strong as the note N before it counts with weight(R) -
// weight(N), so several rests of one gap can count. Where there is no such pair the value is -1.
//
// Cyclic patterns pair rests before the first note with the last note; phrases with an end leave
// them out. Every bar is a tree of its own. Range: -1 up, in levels.
func longuetHigginsLeeTerminal(p *Pattern) float64 {
	w := terminalWalk{p: p, note: -1}
	if p.Cyclic && len(p.onsets) > 0 {
		// In a cycle the note before the first rest is the last terminal note, the last onset.
		w.note = p.onsets[len(p.onsets)-1]
	}
	for first := 0; first < len(p.depth); {
		end := first + 1
		for end < len(p.depth) && p.depth[end] > 0 {
			end++
		}
		w.node(first, end)
		first = end
	}
	if w.pairs == 0 {
		return -1
	}
	return float64(w.sum)
}

type terminalWalk struct {
	p          *Pattern
	note       int // the last terminal note, -1 for none yet
	pairs, sum int
}

// node walks the tree over the points from first up to end.
func (w *terminalWalk) node(first, end int) {
	if !w.terminal(first, end) {
		next := w.p.depth[first+1]
		for _, d := range w.p.depth[first+1 : end] {
			next = min(next, d)
		}
		for from := first; from < end; {
			to := from + 1
			for to < end && w.p.depth[to] > next {
				to++
			}
			w.node(from, to)
			from = to
		}
		return
	}
	if w.p.sounded[first] {
		w.note = first
		return
	}
	if w.note >= 0 && w.p.depth[first] <= w.p.depth[w.note] {
		w.pairs++
		w.sum += int(w.p.depth[w.note] - w.p.depth[first])
	}
}

// terminal reports whether no point after first sounds.
func (w *terminalWalk) terminal(first, end int) bool {
	for _, on := range w.p.sounded[first+1 : end] {
		if on {
			return false
		}
	}
	return true
}
