package engine

import (
	"fmt"
	"math"
	"slices"

	"clapladder.example/assess/view"
)

// What a clap must be like for the place of the phone to be good. The levels are relative to what
// the phone can take and to the noise around, never absolute. Common practice, no source.
const (
	noiseSeconds  = 1.0   // of the room before a clap counts
	clapOver      = 15.0  // dB over the noise: fainter is no clap
	clapRise      = 12.0  // dB within two frames: slower is talk
	farOver       = 23.0  // dB over the noise: fainter is too far away
	noisyAbove    = -38.0 // dB below full scale: a room above is noisy
	fullScale     = 0.985 // of full scale and above: the phone is driven too hard
	clapFrame     = 0.01  // seconds
	clapFrames    = 8     // that a clap's loudest is looked for in
	restFrames    = 60    // from one clap to the next
	muteFrames    = 200   // of exact silence, after which the microphone is taken to be off
	keptFrames    = 300   // that the noise is taken from
	noiseQuantile = 0.3
)

// levelCheck listens to one clap and says whether the phone is well placed.
type levelCheck struct {
	rate   int
	frame  int
	powers []float64 // of the last frames, dB below full scale
	sum    float64
	peak   float64
	n      int
	rests  int // frames until the next clap may be judged; 0: waiting for one

	mute int // frames of nothing at all since the beginning; -1 once there was sound

	over, loudest, noise float64 // of the clap that is being judged
}

// level is what the page shows.
type level struct {
	State string  `json:"state"` // listening, good, loud, far, noisy or silent
	Text  string  `json:"text"`
	Over  float64 `json:"over"` // dB of the clap over the noise
}

func (e *Engine) startCheck(s sound) (any, error) {
	if s.Rate < 4000 || s.Rate > 192000 {
		return nil, &Problem{
			fmt.Sprintf("this microphone gives %d samples a second", s.Rate),
			"use a recording instead",
		}
	}
	e.check = &levelCheck{rate: s.Rate, frame: int(clapFrame * float64(s.Rate))}
	return level{State: "listening", Text: "Be quiet for a second, then clap once where you will stand."}, nil
}

// hear returns a verdict after a clap, otherwise nil.
func (c *levelCheck) hear(samples []float32) *level {
	var out *level
	for _, x := range samples {
		size := math.Abs(float64(x))
		c.peak = max(c.peak, size)
		c.sum += size * size
		if c.n++; c.n == c.frame {
			if l := c.judge(10*math.Log10(c.sum/float64(c.n)+1e-12), c.peak); l != nil {
				out = l
			}
			c.sum, c.peak, c.n = 0, 0, 0
		}
	}
	return out
}

// judge takes one frame. A clap rises at once, which talk does not; what it amounts to is seen in
// the frames after.
func (c *levelCheck) judge(db, peak float64) *level {
	switch {
	case peak > 0:
		c.mute = -1
	case c.mute >= 0:
		if c.mute++; c.mute == muteFrames {
			return &level{
				State: "silent",
				Text:  "Nothing comes in: the microphone is off or covered, or another program holds it.",
			}
		}
	}
	noise, before := quantile(c.powers, noiseQuantile), db
	if n := len(c.powers); n > 1 {
		before = min(c.powers[n-1], c.powers[n-2])
	}
	enough := float64(len(c.powers))*clapFrame >= noiseSeconds
	if c.powers = append(c.powers, db); len(c.powers) > keptFrames {
		c.powers = c.powers[1:]
	}
	if c.rests == 0 && enough && db-noise >= clapOver && db-before >= clapRise {
		c.over, c.loudest, c.noise, c.rests = 0, 0, noise, restFrames
	}
	if c.rests == 0 {
		return nil
	}
	c.over, c.loudest = max(c.over, db-c.noise), max(c.loudest, peak)
	if c.rests--; c.rests == restFrames-clapFrames {
		return c.verdict()
	}
	return nil
}

func (c *levelCheck) verdict() *level {
	l := level{Over: c.over}
	switch {
	case c.loudest >= fullScale:
		l.State, l.Text = "loud",
			"Too loud: the phone can't take it. Put it a step further away, or turn its microphone aside."
	case c.noise > noisyAbove && c.over < farOver:
		l.State, l.Text = "noisy",
			"Noisy: the clap hardly stands out. Bring the phone nearer, or wait until the room is quieter."
	case c.over < farOver:
		l.State, l.Text = "far", "Too far: bring the phone nearer to you, with nothing in between."
	default:
		l.State, l.Text = "good", fmt.Sprintf("Good: the clap stands %s dB above the room.",
			view.Number(math.Round(c.over), 0))
	}
	return &l
}

// quantile is the value below which a share of x lies; 0 for none.
func quantile(x []float64, share float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sorted := append([]float64(nil), x...)
	slices.Sort(sorted)
	return sorted[int(share*float64(len(sorted)-1))]
}
