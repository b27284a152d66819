package onset

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"clapladder.example/assess/internal/robust"
)

// Candidates are the sounds of a recording that may be bursts, with the evidence for each. They are
// safe for concurrent reading.
type Candidates struct {
	tight   []candidate        // as a group that claps together gives them
	loose   func() []candidate // as one that claps far apart does
	covered []unclustered
	dull    []unclustered
}

// candidate is a burst with the evidence for it.
type candidate struct {
	Burst
	evidence evidence
	features []float64
}

// unclustered is an attack that may be a burst without a cluster to show for it.
type unclustered struct {
	time, power float64
	evidence    evidence  // of one that noise covers
	features    []float64 // of a dull one
}

// Candidates lists whatever could be a burst, once for many weights. Nothing of the recording's sound
// is kept.
func (a *Detail) Candidates() Candidates {
	c := a.candidates()
	loose := c.loose()
	c.loose = func() []candidate { return loose }
	return c
}

// candidates keeps the recording for the loose ones, which few recordings need.
func (a *Detail) candidates() Candidates {
	return Candidates{
		tight: a.bestFit(newClusters(&a.Analysis, clusterTight)),
		loose: sync.OnceValue(func() []candidate {
			return a.bestFit(newClusters(&a.Analysis, clusterLoose))
		}),
		covered: a.coveredCandidates(),
		dull:    a.dullCandidates(),
	}
}

// Candidate is one sound that may be a burst.
type Candidate struct {
	Time     float64   // seconds
	Features []float64 // see [FeatureNames]
}

// Of lists the candidates of a kind: of dull ones those that have none of the bursts by the weights
// beside them. Claps that noise covers are not among them.
func (c *Candidates) Of(kind Kind, w Weights) []Candidate {
	var out []Candidate
	if kind == DullKind {
		found := c.clapped(&w)
		for _, x := range c.dull {
			if !besideAny(found, x.time) {
				out = append(out, Candidate{x.time, x.features})
			}
		}
		return out
	}
	for _, x := range c.tight {
		if x.evidence.kind() == kind {
			out = append(out, Candidate{x.Time, x.features})
		}
	}
	return out
}

// Bursts lists the bursts among the candidates, see [Detail.Bursts], by weights that may be others
// than those in use.
func (c *Candidates) Bursts(w Weights) []Burst {
	found := c.clapped(&w)
	found = append(found, dullStrokes(c.dull, found, &w)...)
	sortByTime(found)
	return apart(found)
}

// clapped are the bursts but for dull strokes, by time.
func (c *Candidates) clapped(w *Weights) []Burst {
	found, width := judged(c.tight, w)
	if width > looseWidth {
		found, _ = judged(c.loose(), w)
	}
	found = append(found, coveredClaps(c.covered, found, w)...)
	sortByTime(found)
	return found
}

// judged are those of the candidates that are bursts, and the median width of the groups' among them
// in seconds; 0 where those are few.
func judged(candidates []candidate, w *Weights) (found []Burst, usualWidth float64) {
	var widths []float64
	for _, c := range candidates {
		c.Confidence = w.confidence(c.evidence.kind(), c.features)
		if c.Confidence < leastConfidence {
			continue
		}
		found = append(found, c.Burst)
		if !c.evidence.single {
			widths = append(widths, c.Width)
		}
	}
	if len(widths) < looseFew {
		return found, 0
	}
	return found, robust.Upper(widths)
}

func sortByTime(bursts []Burst) {
	slices.SortStableFunc(bursts, func(x, y Burst) int { return cmp.Compare(x.Time, y.Time) })
}

// anyWithin reports whether one of the bursts, which are in order of time, is close to a time for
// its width. No burst is close that lies more than farthest seconds away.
func anyWithin(bursts []Burst, time, farthest float64, near func(b Burst) float64) bool {
	from, _ := slices.BinarySearchFunc(bursts, time-farthest, func(b Burst, t float64) int {
		return cmp.Compare(b.Time, t)
	})
	for _, b := range bursts[from:] {
		if b.Time > time+farthest {
			break
		}
		if math.Abs(b.Time-time) < near(b) {
			return true
		}
	}
	return false
}
