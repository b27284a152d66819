package measure

import "clapladder.example/rhythm"

// set makes p hold the phrase as the package comment says. It reuses the memory of p. A zero phrase
// gives an empty pattern, for which every measure is undefined (errEmpty).
func (p *Pattern) set(phrase rhythm.Phrase) {
	p.sounded, p.depth, p.onsets, p.loudness = p.sounded[:0], p.depth[:0], p.onsets[:0], p.loudness[:0]
	p.beats, p.splits = p.beats[:0], p.splits[:0]
	p.bar, p.mixed, p.unit, p.seconds, p.deep = 0, false, 1, 0, 0
	if phrase.IsZero() {
		p.tree = barTree{}
		return
	}
	meter := phrase.Meter()
	p.tree.set(meter)
	p.deep = p.tree.deep
	p.seconds = phrase.Duration()
	p.countBoxes(phrase)
	p.divide(meter)
	p.lay(phrase)
	if p.mixed {
		p.place(phrase)
	} else if p.tree.even {
		p.splits = appendSplits(append(p.splits, p.tree.splits...), p.work.division[0])
	}
	if !p.mixed {
		p.bar = len(p.sounded) / phrase.Bars()
	}
}

// countBoxes finds, for each beat, the fewest equal boxes that hold its strokes.
func (p *Pattern) countBoxes(phrase rhythm.Phrase) {
	boxes := p.work.boxes[:0]
	strokes, beats := phrase.Strokes(), phrase.BeatSteps()
	k := 0
	for i := range len(beats) - 1 {
		length := beats[i+1] - beats[i]
		common := length
		for ; k < len(strokes) && strokes[k].Step < beats[i+1]; k++ {
			common = gcd(common, strokes[k].Step-beats[i])
		}
		boxes = append(boxes, length/common)
	}
	p.work.boxes = boxes
}

// divide chooses the number of points of each beat from the boxes it needs.
func (p *Pattern) divide(meter rhythm.Meter) {
	division := p.work.division[:0]
	perBar := meter.Beats()
	if meter.Kind() == rhythm.Additive {
		perUnit, fits := 1, true
		for i, boxes := range p.work.boxes {
			units := meter.BeatUnits(i % perBar)
			if boxes > 1 && (boxes%units != 0 || !powerOfTwo(boxes/units)) {
				fits = false
			}
			perUnit = max(perUnit, boxes/units)
		}
		for i, boxes := range p.work.boxes {
			units := meter.BeatUnits(i % perBar)
			switch {
			case fits:
				division = append(division, units*perUnit)
			case boxes == 1:
				division = append(division, units)
			default:
				division = append(division, boxes)
			}
		}
		p.mixed = !fits
		p.work.division = division
		return
	}
	most, halves, thirds := 1, true, true
	for _, boxes := range p.work.boxes {
		most = max(most, boxes)
		halves = halves && powerOfTwo(boxes)
		thirds = thirds && (boxes == 1 || boxes%3 == 0 && powerOfTwo(boxes/3))
	}
	base := 4
	own, other := halves, thirds
	if meter.Kind() == rhythm.Compound {
		base = 3
		own, other = thirds, halves
	}
	p.mixed = !own && !other
	for _, boxes := range p.work.boxes {
		switch {
		case own:
			boxes = max(base, most)
		case other:
			boxes = most
		case boxes == 1 || base == 4 && boxes == 2:
			boxes = base
		}
		division = append(division, boxes)
	}
	p.work.division = division
}

// lay writes points, weights and onsets.
func (p *Pattern) lay(phrase rhythm.Phrase) {
	strokes, steps := phrase.Strokes(), phrase.BeatSteps()
	perBar, k := phrase.Meter().Beats(), 0
	anyAccent := false
	for _, s := range strokes {
		anyAccent = anyAccent || s.Accent
	}
	for i, n := range p.work.division {
		first := len(p.sounded)
		p.beats = append(p.beats, first)
		p.depth = append(p.depth, p.tree.depths[i%perBar])
		p.sounded = append(p.sounded, false)
		for _, depth := range beatDepths[n][1:] {
			p.depth = append(p.depth, p.tree.deep+depth)
			p.sounded = append(p.sounded, false)
		}
		length := steps[i+1] - steps[i]
		for ; k < len(strokes) && strokes[k].Step < steps[i+1]; k++ {
			point := first + (strokes[k].Step-steps[i])*n/length
			p.sounded[point] = true
			p.onsets = append(p.onsets, point)
			p.loudness = append(p.loudness, loudnessOf(anyAccent, strokes[k].Accent))
		}
	}
	p.beats = append(p.beats, len(p.sounded))
}

// place gives the points of mixed divisions their steps. Beats and onsets lie on steps exactly, and
// only theirs are asked for; a silent point between two steps gets the earlier one.
func (p *Pattern) place(phrase rhythm.Phrase) {
	steps := phrase.BeatSteps()
	p.position = p.position[:0]
	for i, n := range p.work.division {
		for j := range n {
			p.position = append(p.position, steps[i]+j*(steps[i+1]-steps[i])/n)
		}
	}
	p.position = append(p.position, phrase.Steps())
	meter := phrase.Meter()
	perBeat := float64(4)
	if meter.Kind() != rhythm.Simple {
		perBeat = float64(meter.BeatUnits(0))
	}
	p.unit = float64(steps[1]) / perBeat
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
