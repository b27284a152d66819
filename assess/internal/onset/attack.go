package onset

import (
	"cmp"
	"math"
	"slices"
)

// Attack is one sharp rise in several bands at once, as a single clap near the microphone makes it.
type Attack struct {
	Time float64 // seconds: where the rise begins
	// Rise is by how much the bands rise within two frames, in dB, averaged over the bands in use.
	Rise float64
	// Power is the clap-band power of the first 12 ms above what was there before, summed over
	// frames (full scale squared times frames): proportional to the energy of the direct sound.
	Power float64
	// Contrast is the power of the first 12 ms over that of the 50 ms before, in dB. A clap out of
	// quiet has 15 and more, a clap within a group's burst little.
	Contrast float64
	// Concentration is the share of the energy from 40 ms before to 80 ms after that falls into the
	// first 10 ms: near 1 for one dry clap, under 0.2 for a group.
	Concentration float64
	// Colour is the share of the power above 3 kHz in the clap band, and Thump the power below 1
	// kHz over that of the clap band in dB, both above what was there before; both over the first
	// 12 ms. They tell clappers and body sounds apart.
	Colour, Thump float64
	// Low says that the attack is louder below 1 kHz, as a stamp or a pat: Contrast and
	// Concentration are of that band.
	Low bool
	// onlyLow says that the clap band has no attack there: bursts are the clap band's.
	onlyLow bool
	// clapContrast is Contrast as the clap band has it.
	clapContrast float64
}

// Level is the power of all bands in dB: that of a stamp lies below the clap band.
func (a Attack) Level() float64 {
	return 10*math.Log10(a.Power+1e-20) + 10*math.Log10(1+math.Pow(10, a.Thump/10))
}

// detector finds attacks in a stretch of sound.
type detector struct {
	e      *bands
	first  int // frame of the recording with which the stretch begins
	floors [bandCount]Floor
}

// risen is the mean rise in dB at a frame, by which bands hold sound; 0 where too few bands rise.
type risen [usages]float32

// rises computes the mean rise at the frames from one on up to another.
func (d *detector) rises(from, to int) []risen {
	n := d.e.frames()
	rise := make([]risen, to-from)
	bands := make([][usages]uint8, to-from)
	for b := range d.e.band {
		band := d.e.band[b]
		for i := from; i < to; i++ {
			now := band[i]
			if i+1 < n && band[i+1] > now {
				now = band[i+1]
			}
			before := loudestBefore(band, i, now/2)
			if now <= 2*before { // below 3 dB: nothing rises, and the logarithm is expensive
				continue
			}
			floor := floorAllowance * d.floors[b].At(i)
			db := 10 * math.Log10(float64((now+floor)/(before+floor)))
			for u := range usage(usages) {
				if !u.has(b) {
					continue
				}
				if db > risenEnough && b != lowBand {
					bands[i-from][u]++
				}
				rise[i-from][u] += usageWeights[u][b] * float32(min(db, riseCeiling))
			}
		}
	}
	for i := range rise {
		for u := range usage(usages) {
			if bands[i][u] < u.need() {
				rise[i][u] = 0
			}
		}
	}
	return rise
}

// loudestBefore is the largest power within attackPast frames before frame i, or the first that
// reaches enough.
func loudestBefore(band []float32, i int, enough float32) float32 {
	var before float32
	for k := i - 1; k >= max(0, i-attackPast) && before < enough; k-- {
		before = max(before, band[k])
	}
	return before
}

// attackCandidate is an attack if the bands that hold sound are those with which it rises; its Rise
// is not filled in.
type attackCandidate struct {
	Attack
	rise risen // 0 where it is no attack
}

// sharpest appends the candidates of the frames from one on up to another.
func (d *detector) sharpest(found []attackCandidate, from, to int) []attackCandidate {
	start := max(0, from-attackHold)
	rise := d.rises(start, min(to+attackHold, d.e.frames()))
	for i := from - start; i < to-start; i++ {
		var largest risen
		for u, r := range rise[i] {
			if r >= attackRise && largestAround(rise, i, u) {
				largest[u] = r
			}
		}
		if largest != (risen{}) {
			found = append(found, attackCandidate{d.describe(start+i, d.above3k(start+i)), largest})
		}
	}
	return found
}

// largestAround reports whether no rise within attackHold is larger than that at place i; of equals
// the first is.
func largestAround(rise []risen, i, usage int) bool {
	r := rise[i][usage]
	for k := max(0, i-attackHold); k <= min(len(rise)-1, i+attackHold); k++ {
		if other := rise[k][usage]; other > r || other == r && k < i {
			return false
		}
	}
	return true
}

// attacks are the sharp rises in order of time, of candidates and of the low band; the stretch is
// the whole recording.
func (d *detector) attacks(candidates []attackCandidate, lows []lowCandidate, used usage) []Attack {
	var found []Attack
	for _, c := range candidates {
		if r := c.rise[used]; r > 0 {
			c.Rise = float64(r)
			found = append(found, c.Attack)
		}
	}
	if len(found) == 0 {
		return nil
	}
	powers := make([]float64, len(found))
	for i, a := range found {
		powers[i] = a.Power
	}
	slices.Sort(powers)
	least := powers[int(loudQuantile*float64(len(powers)-1))] * math.Pow(10, -quietAttack/10)
	found = slices.DeleteFunc(found, func(a Attack) bool { return a.Power < least })
	var low []Attack // as loud, counted over all bands
	for _, a := range d.lowAttacks(found, lows) {
		if a.fullPower() >= least {
			low = append(low, a)
		}
	}
	found = append(found, low...)
	slices.SortStableFunc(found, func(a, b Attack) int { return cmp.Compare(a.Time, b.Time) })
	return found
}

// direct is what one band, or the sum of some, shows of a stroke.
type direct struct {
	body, before            float64 // mean power per frame of the first 12 ms, and of the 50 ms before
	power                   float64 // of the first 12 ms above what was there before, summed over frames
	contrast, concentration float64
}

func (d *detector) direct(band []float32, start int, floor float64) direct {
	n := len(band)
	sum := func(from, to int) float64 {
		var s float64
		for _, x := range band[min(max(0, from), n):min(max(0, to), n)] {
			s += float64(x)
		}
		return s
	}
	out := direct{body: sum(start, start+attackBody) / attackBody, before: sum(start-25, start-2) / 23}
	out.power = attackBody * max(out.body-out.before, 0.05*out.body)
	out.contrast = 10 * math.Log10((out.body+floor)/(out.before+floor))
	out.concentration = sum(start, start+5) / max(sum(start-20, start+40), silentPower)
	return out
}

// strokeStart is the frame at which the power really goes up: the rise may be larger with the
// second of two frames.
func strokeStart(band []float32, i int) int {
	if i+1 < len(band) && band[i] < 0.1*band[i+1] {
		return i + 1
	}
	return i
}

// above3k is the power above 3 kHz of the first 12 ms of the attack whose rise was found at frame
// i, summed over frames.
func (d *detector) above3k(i int) float64 {
	start := strokeStart(d.e.clap, i)
	var high float64
	for k := start; k < min(d.e.frames(), start+attackBody); k++ {
		high += float64(d.e.band[highBand][k] + d.e.band[brightBand][k])
	}
	return high
}

// describe measures the attack whose rise was found at frame i, which holds the first of two rising
// frames; above3k is its power there.
func (d *detector) describe(i int, above3k float64) Attack {
	clap := d.e.clap
	start := strokeStart(clap, i)
	own := d.direct(clap, start, clapFloor(&d.floors, i))
	low := d.direct(d.e.band[lowBand], start, float64(d.floors[lowBand].At(i)))
	a := Attack{
		Power: own.power, Contrast: own.contrast, Concentration: own.concentration,
		clapContrast: own.contrast,
	}
	a.Colour = above3k / max(attackBody*own.body, silentPower)
	a.Thump = 10 * math.Log10((low.power+silentPower)/(own.power+silentPower))
	if a.Thump > lowLouder {
		a.Contrast, a.Concentration, a.Low = low.contrast, low.concentration, true
	}
	a.Time = d.riseTime(start)
	return a
}

// riseTime places the start of the rise within its frame: a clap that begins late in a frame leaves
// little power in it compared with the next one.
func (d *detector) riseTime(start int) float64 {
	clap := d.e.clap
	within := 0.5
	if start+1 < len(clap) {
		first, second := float64(clap[start]), float64(clap[start+1])
		// A clap's power halves about every millisecond at first, so frame one holds most of it
		// unless it began late.
		within = second / max(first+second, silentPower)
	}
	return max(0, (float64(d.first+start)+min(within, 1))*FrameSeconds-filterDelay)
}
