// Package detection says how well a detector of strokes does: the times to be found in recordings
// whose strokes are known, what was found of them, and the F measure. Times are in seconds.
package detection

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/signal"
)

// Within which detections count as right, seconds: single claps and the middles of groups.
const (
	Narrow = 0.025
	Wide   = 0.050
)

// Marks are the times to be found, ascending. Detections near one of the others are neither right nor
// wrong: one person or a few people clapped there, and whether that is a burst is a matter of taste.
// Only detections within the spans count.
type Marks struct {
	Times  []float64
	Others []float64
	Spans  []signal.Span
}

const (
	leastSpread   = 0.030 // seconds: a group's notes count where its claps spread by as much
	leastTogether = 0.3   // participation of a note that counts
	// groupReach is the seconds around a note within which claps are part of its burst: two SD of a
	// group and the error of its lag.
	groupReach = 0.1
	besides    = 0.05 // seconds around one of the others
)

// Strokes marks every stroke of everybody.
func Strokes(truth synth.Truth) Marks {
	m := Marks{Spans: []signal.Span{{Start: 0, End: truth.Duration}}}
	for _, s := range truth.Strokes {
		m.Times = append(m.Times, s.Time)
	}
	return m
}

// Notes marks the notes of a group's answers, each in the middle of its claps.
func Notes(truth synth.Truth) Marks {
	var m Marks
	for _, r := range truth.Rounds {
		if r.Response == nil || r.Response.Spread < leastSpread {
			continue
		}
		notes := r.Response.Notes
		first, last := notes[0].Time, notes[len(notes)-1].Time
		m.Spans = append(m.Spans, signal.Span{Start: first - 0.06, End: last + 0.3})
		for _, n := range notes {
			switch {
			case n.Participation >= leastTogether:
				m.Times = append(m.Times, n.Time)
			case n.Participation > 0:
				m.Others = append(m.Others, n.Time)
			}
		}
		for _, x := range r.Response.Extras {
			m.Others = append(m.Others, x.Time)
		}
	}
	slices.Sort(m.Times)
	for _, s := range truth.Strokes {
		near := func(t float64) bool { return math.Abs(t-s.Time) <= groupReach }
		belongs := slices.ContainsFunc(m.Times, near)
		if s.Role != synth.InCall && !belongs {
			m.Others = append(m.Others, s.Time)
		}
	}
	return m
}

// Inside reports whether a detection at a time counts.
func (m Marks) Inside(t float64) bool {
	return slices.ContainsFunc(m.Spans, func(p signal.Span) bool { return t >= p.Start && t <= p.End })
}

// Score counts what a detector got right.
type Score struct{ Hits, Marks, Found int }

// F is the F measure, 0 to 1: the harmonic mean of the shares of the marks and of the detections that
// are hits.
func (s Score) F() float64 { return 2 * float64(s.Hits) / math.Max(1, float64(s.Marks+s.Found)) }

// Add adds the counts of other recordings.
func (s *Score) Add(o Score) {
	s.Hits, s.Marks, s.Found = s.Hits+o.Hits, s.Marks+o.Marks, s.Found+o.Found
}

// Compare pairs detections with marks in order of time, each once; for points on a line that pairs
// as many as possible. The errors are those of the pairs, late is positive.
func (m Marks) Compare(found []float64, window float64) (s Score, errors []float64) {
	s.Marks = len(m.Times)
	var loose []float64
	next := 0
	for _, t := range found {
		for next < len(m.Times) && m.Times[next] < t-window {
			next++
		}
		if next < len(m.Times) && m.Times[next] <= t+window {
			errors = append(errors, t-m.Times[next])
			s.Hits, s.Found, next = s.Hits+1, s.Found+1, next+1
			continue
		}
		loose = append(loose, t)
	}
	for _, t := range loose {
		near := slices.ContainsFunc(m.Others, func(o float64) bool { return math.Abs(o-t) <= besides })
		if m.Inside(t) && !near {
			s.Found++
		}
	}
	return s, errors
}
