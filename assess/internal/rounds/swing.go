package rounds

import (
	"math"

	"clapladder.example/rhythm"
)

// A leader who swings plays the second half of a beat late, throughout a recording. No phrase of the
// bank fits such a call, and it is written down as a rhythm of its own. Where several of those are
// phrases of the bank with one swing, and those that were taken for phrases don't speak against it,
// they are read so.

// swung names those of the chosen calls of a rhythm of their own that are a phrase of the bank with
// the swing that they share.
func (p *pass) swung(chosen []proposal) []proposal {
	like := make([][]*template, len(chosen))
	free := 0
	for i, c := range chosen {
		if c.template < 0 {
			like[i] = p.swungLike(p.callTimes(c))
			free += min(1, len(like[i]))
		}
	}
	if free < swingCalls {
		return chosen
	}
	best, most := 0.0, swingLeast
	for late := swingFrom; late <= swingTo; late += swingStep {
		if gain := p.swingGain(chosen, like, late); gain > most {
			best, most = late, gain
		}
	}
	if best == 0 {
		return chosen
	}
	for i, c := range chosen {
		if t, _ := p.swungReading(like[i], best, p.callTimes(c)); t != nil {
			chosen[i] = p.readSwung(c, t, best)
		}
	}
	return chosen
}

// swungLike lists the phrases of the bank that strokes at times, in seconds, may be with swing.
func (p *pass) swungLike(times []float64) []*template {
	var out []*template
	span := times[len(times)-1] - times[0]
	for k := range p.templates {
		t := &p.templates[k]
		if len(t.shares) != len(times) || math.Abs(math.Log(span)-t.expected) > swingTempo {
			continue
		}
		near := true
		for i, share := range t.shares {
			near = near && math.Abs(times[0]+share*span-times[i]) < swingReach
		}
		if near && hasHalves(t.phrase) {
			out = append(out, t)
		}
	}
	return out
}

// swingGain is what is gained, in log odds, by reading all chosen calls with one swing.
func (p *pass) swingGain(chosen []proposal, like [][]*template, late float64) float64 {
	gain := 0.0
	for i, c := range chosen {
		switch times := p.callTimes(c); {
		case c.template < 0:
			if t, cost := p.swungReading(like[i], late, times); t != nil {
				gain += max(0, freeCosts+freeNoteCosts*float64(len(times))-cost)
			}
		case len(times) == len(c.matched) && hasHalves(c.phrase):
			straight, _, _ := swungCost(c.phrase, 0, times)
			swung, _, _ := swungCost(c.phrase, late, times)
			gain += straight - swung
		}
	}
	return gain
}

// swungReading is the phrase that strokes are with swing, at the least cost; nil where none fits.
func (p *pass) swungReading(like []*template, late float64, times []float64) (*template, float64) {
	var best *template
	least := math.Inf(1)
	for _, t := range like {
		cost, line, fits := swungCost(t.phrase, late, times)
		if !fits || line.StepSeconds <= 0 {
			continue
		}
		off := math.Log(line.StepSeconds/t.phrase.StepSeconds()) + t.logSpan - t.expected
		if cost += p.tempoCosts(off); cost < least {
			best, least = t, cost
		}
	}
	return best, least
}

// readSwung is a call read as a phrase with swing.
func (p *pass) readSwung(c proposal, t *template, late float64) proposal {
	_, line, _ := swungCost(t.phrase, late, p.callTimes(c))
	if c.answer != nil {
		ratio := c.answer.Map.BeatSeconds(c.phrase) / c.call.BeatSeconds(c.phrase)
		answer := *c.answer
		answer.Map.StepSeconds = line.StepSeconds * ratio
		answer.Map.Origin = c.from -
			swungPlace(t.phrase, t.phrase.Strokes()[0].Step, late)*answer.Map.StepSeconds
		c.answer = &answer
		c.to = answer.Map.At(float64(t.phrase.Steps()))
		c.from = answer.Map.At(float64(t.phrase.Strokes()[0].Step))
	}
	c.template, c.phrase, c.call, c.guessed = t.index, t.phrase, line, false
	return c
}

// swungCost is what it costs that strokes at times, in seconds, are those of a phrase with the
// second halves of its beats late; fits is false where one is too far off for that.
func swungCost(
	phrase rhythm.Phrase, late float64, times []float64,
) (cost float64, line rhythm.TimeMap, fits bool) {
	steps := make([]float64, len(times))
	for i, s := range phrase.Strokes() {
		steps[i] = swungPlace(phrase, s.Step, late)
	}
	line, fits = rhythm.FitTimeMap(steps, times), true
	for i, t := range times {
		off := math.Abs(t-line.At(steps[i])) / timingSD
		cost += min(off*off/2, timingMost)
		fits = fits && off < swingOff
	}
	return cost, line, fits
}

// swungPlace is where a step of a phrase lies with swing.
func swungPlace(phrase rhythm.Phrase, step int, late float64) float64 {
	if isHalf(phrase, step) {
		return float64(step) + late*float64(phrase.StepsPerQuarter())
	}
	return float64(step)
}

// hasHalves reports whether a phrase has a stroke in the middle of a quarter.
func hasHalves(phrase rhythm.Phrase) bool {
	for _, s := range phrase.Strokes() {
		if isHalf(phrase, s.Step) {
			return true
		}
	}
	return false
}

// isHalf reports whether a step is the middle of a beat of one quarter.
func isHalf(phrase rhythm.Phrase, step int) bool {
	beats, beat := phrase.BeatSteps(), phrase.BeatAt(step)
	return beats[beat+1]-beats[beat] == phrase.StepsPerQuarter() &&
		2*(step-beats[beat]) == phrase.StepsPerQuarter()
}
