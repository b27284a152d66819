package audio

import "math"

// Flattening is how far a recorder took away the differences of level that shares of a group are
// read from.
type Flattening struct {
	// Code is that of the [Warning] about it, empty where nothing was taken away: clipped (peaks are
	// cut off flat), overdriven (a limiter or saturation holds them at one level), levelled (a fast or
	// strong gain control turns every loud sound down) or gain-riding (the level creeps up again after
	// loud moments).
	Code string
	// Severity is 0 to 1: for clipping and overdriving the share of loud sounds that reach the
	// ceiling, for gain control the change of gain over fullChange decibels.
	Severity float64
}

// Severe reports whether too little is left of the differences to read shares from.
func (f Flattening) Severe() bool {
	switch f.Code {
	case clipped, overdriven:
		return f.Severity >= severePeaks
	case levelled:
		return true
	case gainRiding:
		return f.Severity >= severeRiding
	}
	return false
}

// Flattening is what has been found so far; complete after Read has returned io.EOF. Of several
// ways the one is given that explains the others: a gain control that cuts the noise also evens the
// peaks.
func (c *chain) Flattening() Flattening {
	crowded := c.health.peaks.crowded()
	ducked := c.ducking.depth()
	risen, riding := c.gain.riding()
	switch {
	case c.health.hasFlatTops():
		return Flattening{clipped, c.health.peaks.heights.crowded()}
	case riding:
		return Flattening{gainRiding, min(1, max(risen, ducked)/fullChange)}
	case ducked >= leastDucking:
		return Flattening{levelled, min(1, ducked/fullChange)}
	case crowded > 0 && c.health.peaks.heights.held() >= leastHeld:
		return Flattening{overdriven, crowded}
	}
	return Flattening{}
}

// peakWatch collects how high and how strong sounds are: the peaks of 20 ms that are the highest
// within 0.1 s on either side, and the energy from there on. Claps of a person differ by several
// dB, those of a leader and a group by more; a limiter brings most of them to the same height,
// though not to the same energy. What is one sound over and over is alike in both.
type peakWatch struct {
	heights  levels
	energies levels
	recent   [2*peakReach + 1]window
	seen     int
}

// window is 20 ms: the highest size of a sample and the sum of squares.
type window struct {
	peak   float32
	energy float64
}

const peakReach = 5 // windows on either side: 0.1 s

// observe takes the next window.
func (p *peakWatch) observe(w window) {
	copy(p.recent[:], p.recent[1:])
	p.recent[2*peakReach] = w
	if p.seen++; p.seen <= peakReach {
		return
	}
	middle := p.recent[peakReach]
	for i, x := range p.recent {
		if x.peak > middle.peak || x.peak == middle.peak && i < peakReach {
			return
		}
	}
	energy := 0.0
	for _, x := range p.recent[peakReach : peakReach+peakBody] {
		energy += x.energy
	}
	p.heights.add(decibels(middle.peak))
	p.energies.add(10 * math.Log10(energy))
}

// crowded is the share of sounds whose peaks reach about the same height; 0 where there are few, or
// where they are as alike in energy.
func (p *peakWatch) crowded() float64 {
	heights := p.heights.crowded()
	if p.energies.crowded() > asAlike*heights {
		return 0
	}
	return heights
}

// levels counts levels in dB, in steps of levelStep down from levelTop.
type levels [levelBins]int

const (
	levelStep = 0.25
	levelTop  = 60.0 // an energy may be that of thousands of samples at full scale
	levelBins = 640
)

func (l *levels) add(db float64) {
	if down := (levelTop - db) / levelStep; down < levelBins {
		l[int(max(0, down))]++
	}
}

// crowded is the share of the levels within peakDeep of the highest that lie within peakNear of it;
// 0 where there are few.
func (l *levels) crowded() float64 {
	const near, deep = int(peakNear / levelStep), int(peakDeep / levelStep)
	next := l.top()
	return l.share(0, next+near, next+deep)
}

// held is the largest share of those levels that lie within peakHeld of each other, no lower than
// peakSag below the highest: a person's claps, however even, spread over more than that.
func (l *levels) held() float64 {
	const wide, sag, deep = int(peakHeld / levelStep), int(peakSag / levelStep), int(peakDeep / levelStep)
	next, most := l.top(), 0.0
	for first := max(0, next-1); first < next+sag; first++ {
		most = max(most, l.share(first, first+wide, next+deep))
	}
	return most
}

// top is the bin after the highest level; a few that stand out do not make it.
func (l *levels) top() int {
	total := 0
	for _, n := range l {
		total += n
	}
	above, next := 0, 0
	for next < levelBins && above < 1+int(peakOutliers*float64(total)) {
		above += l[next]
		next++
	}
	return next
}

// share is how many of the levels in the bins before end lie from bin first to before bin last; 0
// where there are few.
func (l *levels) share(first, last, end int) float64 {
	inside, all := 0, 0
	for i, n := range l[:min(levelBins, end)] {
		all += n
		if i >= first && i < last {
			inside += n
		}
	}
	if all < peakFew {
		return 0
	}
	return float64(inside) / float64(all)
}
