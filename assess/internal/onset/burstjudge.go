package onset

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/robust"
)

// evidence is what tells claps from talk, laughter and knocks.
type evidence struct {
	single bool
	rise   float64 // of the sharpest attack, dB; 0 without one
	floor  float64 // power of a group's burst over the background, dB
	colour float64 // share of the clap band above 3 kHz
	thump  float64 // low band over clap band, dB
}

// kind is how the sound is judged.
func (e evidence) kind() Kind {
	if e.single {
		return ClapKind
	}
	return GroupKind
}

// clapEvidence is the evidence for a single clap.
func (x Attack) clapEvidence() evidence {
	return evidence{single: true, rise: x.Rise, colour: x.Colour, thump: x.Thump}
}

// groupEvidence gathers the evidence for the clap of a group.
func (a *Detail) groupEvidence(p cluster, b Burst) evidence {
	e := a.bands
	lo, hi := max(0, int((b.Time-0.06)*FrameRate)), min(e.frames(), int((b.Time+0.06)*FrameRate))
	var low, high, all float64
	for k := lo; k < hi; k++ {
		low += float64(e.band[lowBand][k])
		high += float64(e.band[highBand][k] + e.band[brightBand][k])
		all += float64(e.clap[k])
	}
	floor := decibels(all / float64(max(1, hi-lo)) / a.ClapFloor(b.Time))
	if a.swing.steady(b.Time) {
		floor = max(floor, min(swingMost, swingBase+swingEach*a.swing.above(b.Time)))
	}
	best := 0.0
	for _, x := range within(a.Attacks, p.from, p.to) {
		if !x.onlyLow {
			best = max(best, x.Rise)
		}
	}
	return evidence{
		rise: best, floor: floor, colour: high / max(all, silentPower),
		thump: decibels(low / max(all, silentPower)),
	}
}

func decibels(ratio float64) float64 { return 10 * math.Log10(max(ratio, silentPower)) }

// weighed sets the features of candidates.
func weighed(found []candidate) []candidate {
	if len(found) == 0 {
		return nil
	}
	powers := make([]float64, len(found))
	for i, c := range found {
		powers[i] = c.Power
	}
	loud := strong(powers)
	bright := usualColour(found, loud)
	for i := range found {
		c := &found[i]
		level := decibels(c.Power / loud)
		if c.evidence.single {
			c.features = c.evidence.clapFeatures(level)
		} else {
			c.features = c.evidence.groupFeatures(level, c.Width, bright)
		}
	}
	return found
}

// strong is what stands for the strong ones of some powers, at least one: the 90 % quantile. It
// sorts them.
func strong(powers []float64) float64 {
	slices.Sort(powers)
	return max(silentPower, powers[int(strongQuantile*float64(len(powers)-1))])
}

// usualColour is the median colour of the bursts within 6 dB of the strong ones: what hands sound
// like on this phone.
func usualColour(found []candidate, loud float64) float64 {
	var colours []float64
	for _, c := range found {
		if decibels(c.Power/loud) > -6 {
			colours = append(colours, c.evidence.colour)
		}
	}
	return robust.Upper(colours)
}

// clapFeatures are those of a [ClapKind]; level is relative to the recording's strong bursts in dB.
func (e evidence) clapFeatures(level float64) []float64 {
	return []float64{1, e.rise, level, e.scrape()}
}

// groupFeatures are those of a [GroupKind]. bright is the recording's usual colour: a telephone passes
// little above 3 kHz of anything.
func (e evidence) groupFeatures(level, width, bright float64) []float64 {
	dull := max(0, min(dullColour, dullUsual*bright)-e.colour)
	return []float64{1, e.rise, e.floor, level, dull, max(0, width-wideBurst)}
}

// scrape is by how much the sound is brighter than hands without anything low in it, as chairs and
// hiss are; hands and drums have a thump below. At most 0.15: a very sharp sound may still be a clap.
func (e evidence) scrape() float64 {
	thin := min(1, max(0, (thinFrom-e.thump)/(thinFrom-thinFull)))
	return thin * min(max(0, e.colour-scrapeFrom), scrapeMost)
}
