package onset

import (
	"math"
	"slices"
)

// evidence is what tells claps from talk, laughter and knocks.
type evidence struct {
	single bool
	rise   float64 // of the sharpest attack, dB; 0 without one
	floor  float64 // power over the background, dB
	colour float64 // share of the clap band above 3 kHz
	thump  float64 // low band over clap band, dB
}

// clapEvidence gathers the evidence for a single clap.
func (a *Detail) clapEvidence(x Attack) evidence {
	floor := decibels(x.Power / attackBody / a.ClapFloor(x.Time))
	return evidence{true, x.Rise, floor, x.Colour, x.Thump}
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
	return evidence{false, best, floor, high / max(all, silentPower), decibels(low / max(all, silentPower))}
}

func decibels(ratio float64) float64 { return 10 * math.Log10(max(ratio, silentPower)) }

// judge sets the confidence of candidates.
func judge(found []candidate) {
	if len(found) == 0 {
		return
	}
	loud := loudPower(found)
	bright := usualColour(found, loud)
	for i := range found {
		c := &found[i]
		c.Confidence = c.evidence.confidence(decibels(c.Power/loud), c.Width, bright)
	}
}

// loudPower is the power of the recording's strong bursts.
func loudPower(found []candidate) float64 {
	powers := make([]float64, len(found))
	for i, c := range found {
		powers[i] = c.Power
	}
	return strong(powers)
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
	if len(colours) == 0 {
		return 0
	}
	slices.Sort(colours)
	return colours[len(colours)/2]
}

// confidence weighs the evidence, together with the level relative to the recording's strong bursts
// in dB. The weights are those of a logistic regression on made-up recordings with talk, laughter,
// scraping chairs and knocks. bright is the recording's usual colour: a telephone passes little
// above 3 kHz of anything.
func (e evidence) confidence(level, width, bright float64) float64 {
	if e.single {
		return chance(e.clapLogit(level))
	}
	dull := max(0, min(dullColour, dullUsual*bright)-e.colour)
	return chance(groupBase + groupRise*e.rise + groupFloor*e.floor + groupLevel*level +
		groupThin*e.scrape(groupScrape) + groupDull*dull + groupWide*max(0, width-wideBurst))
}

// clapLogit weighs the evidence for a single clap.
func (e evidence) clapLogit(level float64) float64 {
	return clapBase + clapRise*e.rise + clapThin*e.scrape(clapScrape) + clapLevel*level
}

// chance is the logistic function.
func chance(logit float64) float64 { return 1 / (1 + math.Exp(-logit)) }

// scrape is by how much the sound is brighter than the given share without anything low in it, as
// chairs and hiss are; hands and drums have a thump below. At most 0.15: a very sharp sound may
// still be a clap.
func (e evidence) scrape(bright float64) float64 {
	thin := min(1, max(0, (thinFrom-e.thump)/(thinFrom-thinFull)))
	return thin * min(max(0, e.colour-bright), scrapeMost)
}
