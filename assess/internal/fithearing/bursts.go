package main

import (
	"context"
	"fmt"

	"clapladder.example/assess/internal/detection"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/assess/internal/synth/warmups"
)

// soundClass is a class of made-up recordings that bursts are found in.
type soundClass struct {
	name, preset string
	single       bool    // only the leader claps, and every stroke counts; otherwise the notes of answers do
	noise        float64 // dB, steady, relative to the strokes; 0 leaves the preset's
	crowd        bool    // other people clap farther away
}

// soundClasses are rooms, groups, phones, and what is no clap.
var soundClasses = []soundClass{
	{name: "one", preset: "ordinary", single: true},
	{name: "one, hall", preset: "hall", single: true},
	{name: "one, babble", preset: "babble", single: true},
	{name: "one, music", preset: "music", single: true},
	{name: "one, laughter", preset: "laughter", single: true},
	{name: "one, narrow phone", preset: "phone-16k", single: true},
	{name: "one, telephone", preset: "narrow-band", single: true},
	{name: "one, coded", preset: "low-bit-rate", single: true},
	{name: "one, levelled", preset: "slow-levelling", single: true},
	{name: "one, body sounds", preset: "body-sounds", single: true},
	{name: "one, drum", preset: drumCalls, single: true},
	{name: "one, pocket", preset: "pocket", single: true},
	{name: "one, noise", preset: "ordinary", single: true, noise: -4},
	{name: "one, ringing", preset: "ringing", single: true},
	{name: "group", preset: "ordinary"},
	{name: "group, hall", preset: "hall"},
	{name: "group of eight", preset: "eight-people"},
	{name: "group of sixty", preset: "sixty-people"},
	{name: "loose group", preset: "loose-group"},
	{name: "group, babble", preset: "babble"},
	{name: "group, music", preset: "music"},
	{name: "group, laughter", preset: "laughter"},
	{name: "group, narrow phone", preset: "phone-16k"},
	{name: "group, telephone", preset: "narrow-band"},
	{name: "group, levelled", preset: "strong-levelling"},
	{name: "group, talked over", preset: "talked-over"},
	{name: "group, words", preset: "all-words"},
	{name: "group, noise", preset: "ordinary", noise: -6},
}

// crowdClasses have a crowd behind them.
var crowdClasses = []soundClass{
	{name: "one, crowd", preset: "ordinary", single: true, crowd: true},
	{name: "group, crowd", preset: "ordinary", crowd: true},
}

// drumCalls is the preset whose leader does not clap.
const drumCalls = "drum-calls"

// window is within how many seconds a burst counts as found.
func (c soundClass) window() float64 {
	if c.single {
		return detection.Narrow
	}
	return detection.Wide
}

// scene draws a recording of the class.
func (c soundClass) scene(seed uint64, items []warmups.Item) (synth.Scene, error) {
	preset, ok := warmups.PresetNamed(c.preset)
	if !ok {
		return synth.Scene{}, fmt.Errorf("there is no class %q", c.preset)
	}
	s := preset.Scene(seed, items)
	s.Rate = onset.SampleRate
	if c.noise != 0 {
		s.Background.NoiseDB = c.noise
	}
	if !c.single {
		return s, nil
	}
	if c.preset != drumCalls {
		s.Leader.Sound = sounds.Clap
	}
	s.Flow.Practice, s.Flow.After = 0, 0
	for i := range s.Calls {
		s.Calls[i].Answer = synth.Nothing
	}
	return s, nil
}

// take is a recording: what may be bursts in it, and what should be found.
type take struct {
	class      soundClass
	candidates onset.Candidates
	marks      detection.Marks
}

// batches listens to so many batches of four recordings of every class. What they are depends on the
// seed alone, which stands for all it makes.
func (w *world) batches(ctx context.Context, seed uint64, n int) ([]take, error) {
	const each = 4
	var out []take
	for i := range uint64(n) {
		for _, classes := range [][]soundClass{soundClasses, crowdClasses} {
			takes, err := w.takes(ctx, 1000*(seed+i), classes, each*len(classes))
			if err != nil {
				return nil, err
			}
			out = append(out, takes...)
		}
	}
	return out, nil
}

// takes listens to n recordings of some classes in turn. The result depends on the seed alone.
func (w *world) takes(ctx context.Context, seed uint64, classes []soundClass, n int) ([]take, error) {
	out := make([]take, n)
	err := inParallel(ctx, n, func(i int) (err error) {
		out[i], err = w.take(ctx, classes[i%len(classes)], seed+uint64(i)*0x9e3779b97f4a7c15)
		return err
	})
	return out, err
}

func (w *world) take(ctx context.Context, class soundClass, seed uint64) (take, error) {
	scene, err := class.scene(seed, w.items)
	if err != nil {
		return take{}, err
	}
	recording, err := synth.Generate(scene)
	if err != nil {
		return take{}, err
	}
	t := take{class: class, marks: detection.Notes(recording.Truth)}
	if class.single {
		t.marks = detection.Strokes(recording.Truth)
	}
	if class.crowd {
		if err := w.addCrowd(recording.Samples, t.marks, seed); err != nil {
			return take{}, err
		}
	}
	detail, err := onset.Examine(ctx, &reader{recording.Samples})
	if err != nil {
		return take{}, err
	}
	t.candidates = detail.Candidates()
	return t, nil
}

// score counts the bursts found by weights.
func (t *take) score(w onset.Weights) detection.Score {
	var times []float64
	for _, b := range t.candidates.Bursts(w) {
		times = append(times, b.Time)
	}
	s, _ := t.marks.Compare(times, t.class.window())
	return s
}
