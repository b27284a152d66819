// Package sound renders phrases as sound: a bar of count-in, the call, and a gap for the answer or a model answer.
// Every sound is synthesised. The same input gives the same samples. Safe for concurrent use.
package sound

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"clapladder.example/rhythm"
)

// Rate is in samples per second; sound is mono.
const Rate = 44100

// MaxSeconds bounds the length of a rendering.
const MaxSeconds = 3600

// Options say what is rendered.
type Options struct {
	NoCountIn bool // leave out the bar of sticks before the first call
	Model     bool // play the answer instead of leaving it silent
}

// stick is the sound of the count-in; the others are those of [rhythm.Sound].
const stick = rhythm.Snap + 1

// Event is one sound of a rendering.
type Event struct {
	Sample  int // where it begins, exactly
	Sound   rhythm.Sound
	Accent  bool // 4 dB louder
	CountIn bool // a stick; Sound is then of no meaning
	Answer  bool
}

// Events lays the phrases out in order, each at its own tempo, and returns the length in samples, 1 s of silence at the
// end included. Positions are rounded once, from the start of the rendering, so that they do not drift.
func Events(phrases []rhythm.Phrase, o Options) ([]Event, int, error) {
	if len(phrases) == 0 {
		return nil, 0, errors.New("nothing to render; give at least one phrase")
	}
	var out []Event
	at := 0.0 // seconds
	place := func(seconds float64) int { return int(math.Round(seconds * Rate)) }
	for i, p := range phrases {
		if p.IsZero() {
			return nil, 0, fmt.Errorf("phrase %d is empty; parse it from its boxes first", i+1)
		}
		if i == 0 && !o.NoCountIn {
			for _, step := range p.BeatSteps()[:p.Meter().Beats()] {
				out = append(out, Event{Sample: place(p.Seconds(step)), Accent: step == 0, CountIn: true})
			}
			at = p.Seconds(p.BarSteps())
		}
		for _, answer := range []bool{false, true} {
			if !answer || o.Model {
				for _, s := range p.Strokes() {
					out = append(out, Event{Sample: place(at + p.Seconds(s.Step)), Sound: s.Sound, Accent: s.Accent, Answer: answer})
				}
			}
			at += p.Duration()
		}
		if at > MaxSeconds {
			return nil, 0, fmt.Errorf("this lasts longer than %d minutes; render fewer phrases at a time", MaxSeconds/60)
		}
	}
	return out, place(at) + Rate, nil
}

// Render returns samples in -1 to 1, with peaks below 0.9; the slice is the caller's.
func Render(phrases []rhythm.Phrase, o Options) ([]float32, error) {
	events, length, err := Events(phrases, o)
	if err != nil {
		return nil, err
	}
	mix := make([]float64, length)
	for _, e := range events {
		kind, gain := e.Sound, 0.5
		if e.CountIn {
			kind = stick
		}
		if e.Accent {
			gain *= math.Pow(10, 4.0/20)
		}
		for i, v := range voice(kind) {
			if e.Sample+i < length {
				mix[e.Sample+i] += gain * v
			}
		}
	}
	peak := 0.0
	for _, v := range mix {
		peak = max(peak, math.Abs(v))
	}
	scale := min(1, 0.85/max(peak, 1e-9)) // close strokes add up
	out := make([]float32, length)
	for i, v := range mix {
		out[i] = float32(v * scale)
	}
	return out, nil
}

// voice is a short burst of noise through one resonance, for stamps with a low thump; its peak is 1. Centre frequencies
// and decays are common practice, no source.
func voice(kind rhythm.Sound) []float64 {
	frequency, decay, width := 1200.0, 0.012, 0.90 // clap
	switch kind {
	case rhythm.Stamp:
		frequency, decay, width = 110, 0.05, 0.99
	case rhythm.Pat:
		frequency, decay, width = 450, 0.018, 0.95
	case rhythm.Snap:
		frequency, decay, width = 2600, 0.006, 0.95
	case stick:
		frequency, decay, width = 4200, 0.008, 0.985
	}
	noise := rand.New(rand.NewPCG(uint64(kind), 7))
	out := make([]float64, int(8*decay*Rate))
	var y1, y2, peak float64
	turn := 2 * math.Pi * frequency / Rate
	for i := range out {
		fall := math.Exp(-float64(i) / (decay * Rate))
		in := 2*noise.Float64() - 1
		if i == 0 {
			in = 1 // the stroke begins at its very sample
		}
		y := in*fall + 2*width*math.Cos(turn)*y1 - width*width*y2
		y1, y2 = y, y1
		out[i] = y * fall
		peak = max(peak, math.Abs(out[i]))
	}
	for i := range out {
		out[i] /= peak
	}
	return out
}
