package audio

import "math"

// gainWatch looks for automatic gain: after loud claps the background comes up
// again although nothing in the room gets louder. A room does the opposite, it
// dies away. Levels are those of 10 ms; the background is the quietest of ten.
type gainWatch struct {
	sum   float64
	n     int
	loud  float64 // level of recent bursts, dB
	began bool

	quiet [100]float64 // background after the last burst, each 0.1 s
	count int
	least float64
	steps int

	pauses, rising int
	rise           float64 // sum over rising pauses, dB
}

func (g *gainWatch) observe(samples []float32) {
	const frame = Rate / 100
	for len(samples) > 0 {
		part := samples[:min(len(samples), frame-g.n)]
		samples = samples[len(part):]
		g.sum += energy(part)
		if g.n += len(part); g.n == frame {
			g.level(10 * math.Log10(g.sum/frame+1e-10))
			g.sum, g.n = 0, 0
		}
	}
}

// energy is the sum of the squares: of four parts side by side, because each addition waits for the
// one before.
func energy(samples []float32) float64 {
	var a, b, c, d float64
	for len(samples) >= 4 {
		x := samples[:4]
		a, b = a+float64(x[0])*float64(x[0]), b+float64(x[1])*float64(x[1])
		c, d = c+float64(x[2])*float64(x[2]), d+float64(x[3])*float64(x[3])
		samples = samples[4:]
	}
	for _, x := range samples {
		a += float64(x) * float64(x)
	}
	return (a + b) + (c + d)
}

func (g *gainWatch) level(db float64) {
	const (
		fall    = 0.01 // dB for each frame: 1 dB a second
		nearTop = 20   // dB below recent bursts still counts as one
	)
	g.loud -= fall
	if !g.began || db > g.loud {
		g.loud, g.began = db, true
	}
	if db > g.loud-nearTop {
		g.pause()
		g.count, g.steps = 0, 0
		return
	}
	if g.steps == 0 || db < g.least {
		g.least = db
	}
	if g.steps++; g.steps == 10 {
		g.steps = 0
		if g.count < len(g.quiet) {
			g.quiet[g.count] = g.least
			g.count++
		}
	}
}

// pause compares the background at the end of a pause with its first half.
func (g *gainWatch) pause() {
	const (
		shortest = 12 // 1.2 s
		clear    = 6  // dB
	)
	if g.count < shortest {
		return
	}
	early, late := math.Inf(1), math.Inf(1)
	for _, db := range g.quiet[:g.count/2] {
		early = min(early, db)
	}
	for _, db := range g.quiet[g.count-6 : g.count-1] {
		late = min(late, db)
	}
	g.pauses++
	if late-early > clear {
		g.rising++
		g.rise += late - early
	}
}

// riding reports whether most pauses show the gain coming up, and by how much.
func (g *gainWatch) riding() (db float64, ok bool) {
	if g.pauses < 5 || 10*g.rising < 7*g.pauses {
		return 0, false
	}
	return g.rise / float64(g.rising), true
}
