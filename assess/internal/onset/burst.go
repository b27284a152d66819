package onset

import (
	"cmp"
	"math"
	"slices"
)

// Burst is one clap, of one person or of a group: a cluster of energy with a centre. People of a
// group never clap at the same instant; all their claps on one note are one burst.
type Burst struct {
	// Time is the centre of the claps in seconds, without the room's tail: for one clap where it
	// begins, for a group the middle of the claps, not the first of them.
	Time float64
	// Power is the energy in the clap band with its share of the room's tail, in full scale squared
	// times seconds. Only the ratios between bursts of one recording mean anything.
	Power float64
	// Width is the standard deviation of the clap times in seconds; 0 for a single clap.
	Width float64
	// Confidence is how sure it is that this was clapped and is one burst, 0 to 1.
	Confidence float64
}

// Bursts lists the claps of a recording in order of time, whoever made them; at least 50 ms lie
// between two. Talk, laughter and steady noise are left out as far as the clap bands tell them
// apart. One person's stamps and pats are found by their attack, those of a group only where they
// reach above 1 kHz. It runs anew at every call; the caller owns the slice.
func (a *Detail) Bursts() []Burst {
	c := a.candidates()
	return c.Bursts(InUse())
}

// bestFit fits all clusters with each kernel that a group may have and keeps what fits best.
func (a *Detail) bestFit(h *clusters) []candidate {
	var best []candidate
	least := math.Inf(1)
	for _, share := range groupDirect {
		for _, longer := range groupDecay {
			k := Kernel{share, longer * a.Kernel.Decay}
			if found, misfit := a.fit(h, k); best == nil || misfit < least {
				best, least = found, misfit
			}
		}
	}
	return weighed(best)
}

// fit finds candidates with the kernel of a group's claps, and says how badly the groups fit.
func (a *Detail) fit(h *clusters, group Kernel) (found []candidate, misfit float64) {
	f := newFitter(&a.Analysis, group)
	for i, p := range h.list {
		until := a.Envelope.Seconds()
		if i+1 < len(h.list) {
			until = h.list[i+1].from
		}
		claps := h.singles(&a.Analysis, p)
		if len(claps) == 0 {
			if b, ok := f.group(p); ok {
				found = append(found, candidate{Burst: b, evidence: a.groupEvidence(p, b)})
			}
			continue
		}
		for k, clap := range claps {
			end := until
			if k+1 < len(claps) {
				end = claps[k+1].Time
			}
			b := f.single(clap.Time, end)
			found = append(found, candidate{Burst: b, evidence: clap.clapEvidence()})
		}
	}
	slices.SortStableFunc(found, func(x, y candidate) int { return cmp.Compare(x.Time, y.Time) })
	return found, f.misfit
}

// apart drops the weaker of two bursts that are too close.
func apart(sorted []Burst) []Burst {
	out := sorted[:0]
	for _, b := range sorted {
		if n := len(out); n > 0 {
			last := &out[n-1]
			if b.Time-last.Time < max(shortestGap, 0.8*min(b.Width, last.Width)) {
				if b.Power > last.Power {
					*last = b
				}
				continue
			}
		}
		out = append(out, b)
	}
	return out
}
