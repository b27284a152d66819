package audio

import (
	"math"
)

// duckWatch looks for a gain control that turns the background down with every loud sound and up
// again after it. A room does the opposite: it is loudest right after a clap. The background is
// taken at high frequencies, where talk has little, and as the second lowest of 0.12 s, which is
// what steady noise has and syllables have not.
type duckWatch struct {
	x1, x2 float32 // the last two samples
	sum    float64
	n      int

	levels [2*duckNear + 1]float64 // of the last frames, dB
	frame  int                     // frames so far
	loud   float64                 // slowly falling maximum, dB
	began  bool

	after []float64 // levels since the last loud sound
	// rises counts by how much the background rose from a number of frames after a loud sound to
	// just before the next, in steps of duckStep from −duckMost.
	rises [duckLags][duckBins]int
}

const (
	duckFrame = Rate / 50 // samples: 20 ms
	duckNear  = 3         // frames within which a loud sound is the loudest
	duckFall  = 0.02      // dB a frame: 1 dB a second
	duckQuiet = 6         // frames whose second lowest level is the background
	duckSkip  = 3         // frames after a loud sound, and before the next, that are left out
	duckGap   = 16        // frames of a pause that is looked at
	duckRoom  = 8         // frames between the two places compared at least
	duckLags  = 30        // every second frame from the start of a pause
	duckMost  = 15.0      // dB
	duckStep  = 0.5       // dB
	duckBins  = int(2*duckMost/duckStep) + 1
	duckEnds  = 4 * 50 // frames: pauses are followed for four seconds
)

func (d *duckWatch) observe(samples []float32) {
	for len(samples) > 0 {
		part := samples[:min(len(samples), duckFrame-d.n)]
		samples = samples[len(part):]
		x1, x2, sum := d.x1, d.x2, float32(0)
		for _, x := range part {
			bend := x - 2*x1 + x2
			sum += bend * bend
			x1, x2 = x, x1
		}
		d.x1, d.x2 = x1, x2
		d.sum += float64(sum)
		if d.n += len(part); d.n == duckFrame {
			d.level(10 * math.Log10(d.sum/duckFrame+1e-12))
			d.sum, d.n = 0, 0
		}
	}
}

// level takes the level of the next frame; the frame duckNear before it is looked at.
func (d *duckWatch) level(db float64) {
	copy(d.levels[:], d.levels[1:])
	d.levels[2*duckNear] = db
	if d.frame++; d.frame <= duckNear {
		return
	}
	now := d.levels[duckNear]
	d.loud -= duckFall
	if !d.began || now > d.loud {
		d.loud, d.began = now, true
	}
	if now <= d.loud-duckLoud {
		d.follow(now)
		return
	}
	for _, x := range d.levels {
		if x > now {
			d.follow(now)
			return
		}
	}
	d.pause()
	d.after = append(d.after[:0], now)
}

// follow takes a frame after a loud sound.
func (d *duckWatch) follow(now float64) {
	if len(d.after) > 0 && len(d.after) < duckEnds {
		d.after = append(d.after, now)
	}
}

// pause looks at what was between two loud sounds.
func (d *duckWatch) pause() {
	if len(d.after) < duckGap+2*duckSkip || len(d.after) == duckEnds {
		return
	}
	gap := d.after[duckSkip : len(d.after)-duckSkip]
	last := len(gap) - duckQuiet
	end := background(gap[last:])
	for lag := 0; lag < duckLags && 2*lag+duckRoom <= last; lag++ {
		rise := end - background(gap[2*lag:])
		rise = min(duckMost, max(-duckMost, rise))
		d.rises[lag][int(math.Round((rise+duckMost)/duckStep))]++
	}
}

// background is the second lowest of the first duckQuiet levels.
func background(levels []float64) float64 {
	lowest, second := math.Inf(1), math.Inf(1)
	for _, x := range levels[:duckQuiet] {
		switch {
		case x < lowest:
			lowest, second = x, lowest
		case x < second:
			second = x
		}
	}
	return second
}

// depth is by how many dB the background rises in three of four pauses, from where it rises most;
// 0 where there are few pauses.
func (d *duckWatch) depth() float64 {
	most := 0.0
	for lag := range d.rises {
		total := 0
		for _, n := range d.rises[lag] {
			total += n
		}
		if total < duckFew {
			continue
		}
		below, bin := 0, 0
		for 4*(below+d.rises[lag][bin]) <= total {
			below += d.rises[lag][bin]
			bin++
		}
		most = max(most, float64(bin)*duckStep-duckMost)
	}
	return most
}
