package rhythm

// TimeMap turns steps of a phrase into seconds of a recording: a line. It does not know which
// phrase it belongs to.
type TimeMap struct {
	Origin      float64 // time of step 0, seconds
	StepSeconds float64 // length of one step, seconds; greater than 0
}

// TimeMap lays the phrase at its own tempo with bar 1 at origin seconds.
func (p Phrase) TimeMap(origin float64) TimeMap {
	return TimeMap{Origin: origin, StepSeconds: p.StepSeconds()}
}

// At is the time of a step in seconds; steps may be negative, fractional or beyond the phrase.
func (m TimeMap) At(step float64) float64 { return m.Origin + step*m.StepSeconds }

// StepOf is the inverse of At.
func (m TimeMap) StepOf(seconds float64) float64 { return (seconds - m.Origin) / m.StepSeconds }

// Tempo is the tempo, in beats a minute, at which p is played under the map.
func (m TimeMap) Tempo(p Phrase) float64 {
	return 60 / (m.StepSeconds * p.meter.TempoQuarters() * float64(p.stepsPerQuarter))
}

// BeatSeconds is the mean length of p's beats under the map, in seconds; beats of an additive metre
// differ.
func (m TimeMap) BeatSeconds(p Phrase) float64 {
	return m.StepSeconds * float64(p.Steps()) / float64(p.Beats())
}

// FitTimeMap is the least-squares time map through points of steps and their seconds. Both have one
// length, with at least two different steps; otherwise the map is not finite.
func FitTimeMap(steps, seconds []float64) TimeMap {
	n := float64(len(steps))
	var sx, sy, sxx, sxy float64
	for i, x := range steps {
		y := seconds[i]
		sx, sy, sxx, sxy = sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	slope := (n*sxy - sx*sy) / (n*sxx - sx*sx)
	return TimeMap{Origin: (sy - slope*sx) / n, StepSeconds: slope}
}
