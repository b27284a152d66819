package sound

import (
	"math"

	"clapladder.example/rhythm/internal/midiwrite"

	"clapladder.example/rhythm"
)

// peak is the largest magnitude of a sample, full scale being 1: 3 dB below it.
const peak = 0.7

// Levels. A plain stroke has its peak at usual; the others follow in dB.
const (
	usual    = 0.42
	accentDB = 4.0
	answerDB = -2.0 // all hands of a model answer together, in power
	beatDB   = -4.0 // count-in
	clickDB  = -14.0
	fade     = rate / 200 // samples at the very end, so that a cut sound does not crack
)

// cue is one voice of the mix.
type cue struct {
	sample int
	gain   float64
	wave   []float64
}

// mixer adds the voices of a sequence up, a block at a time, so that memory does not grow with its
// length.
type mixer struct {
	events []Event
	length int
	waves  map[[2]int][]float64 // by sound and person
}

// mixBlock is the number of samples in a block.
const mixBlock = 1 << 15

func newMixer(s *Sequence) *mixer {
	return &mixer{events: s.Events(), length: s.length(), waves: map[[2]int][]float64{}}
}

func (m *mixer) wave(kind rhythm.Sound, person int) []float64 {
	key := [2]int{int(kind), person}
	if m.waves[key] == nil {
		m.waves[key] = voice(kind, person)
	}
	return m.waves[key]
}

// cues are the voices of an event.
func (m *mixer) cues(e Event) []cue {
	db := 0.0
	if e.Accent {
		db = accentDB
	}
	if e.Beat {
		db += beatDB
		if e.role != midiwrite.CountIn {
			db += clickDB - beatDB
		}
		return []cue{{e.sample, gain(db), m.wave(block, leader)}}
	}
	if e.role != midiwrite.Answer {
		return []cue{{e.sample, gain(db), m.wave(e.Sound, leader)}}
	}
	out := make([]cue, len(hands))
	for i, h := range hands {
		out[i] = cue{
			e.sample + int(math.Round(h.late*rate)),
			gain(db + answerDB - 10*math.Log10(float64(len(hands)))), m.wave(e.Sound, i),
		}
	}
	return out
}

func gain(db float64) float64 { return usual * math.Pow(10, db/20) }

// run calls use with one block after the other. The slice is used again.
func (m *mixer) run(use func([]float64) error) error {
	var sounding []cue
	sum := make([]float64, mixBlock)
	ahead := int(math.Ceil(0.05 * rate)) // hands of an answer begin before their event
	next := 0
	for from := 0; from < m.length; from += mixBlock {
		part := sum[:min(mixBlock, m.length-from)]
		clear(part)
		for ; next < len(m.events) && m.events[next].sample < from+len(part)+ahead; next++ {
			sounding = append(sounding, m.cues(m.events[next])...)
		}
		keep := sounding[:0]
		for _, c := range sounding {
			for i := max(from, c.sample); i < min(from+len(part), c.sample+len(c.wave)); i++ {
				part[i-from] += c.gain * c.wave[i-c.sample]
			}
			if c.sample+len(c.wave) > from+len(part) {
				keep = append(keep, c)
			}
		}
		sounding = keep
		for i := range part {
			if left := m.length - from - i; left < fade {
				part[i] *= float64(left) / fade
			}
		}
		if err := use(part); err != nil {
			return err
		}
	}
	return nil
}

// render calls use with one block of samples after the other, within Peak. Close strokes add up;
// where they would go beyond it, everything is turned down alike.
func (s *Sequence) render(use func([]float64) error) error {
	m := newMixer(s)
	loudest := 0.0
	_ = m.run(func(part []float64) error {
		for _, v := range part {
			loudest = max(loudest, math.Abs(v))
		}
		return nil
	})
	scale := 1.0
	if loudest > peak {
		scale = peak / loudest
	}
	return m.run(func(part []float64) error {
		for i := range part {
			part[i] *= scale
		}
		return use(part)
	})
}
