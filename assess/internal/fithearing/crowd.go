package main

import (
	"fmt"
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/detection"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/warmups"
)

// A crowd that claps farther away, without any beat: sixty people's applause, over and over.
const (
	crowdPreset = "sixty-people"
	crowdLength = 16.0 // seconds of applause
	crowdFrom   = 1.0  // of it until everybody claps
	crowdUntil  = 10.0 // and before the first have had enough
	crowdFade   = 0.1  // from one time to the next
	crowdLeast  = 4.0  // dB of the strokes' power over the crowd's
	crowdMost   = 10.0
	strokePower = 0.04 // seconds of a stroke that its power is taken of
)

// addCrowd lays a crowd under a recording, so far below what is to be found.
func (w *world) addCrowd(samples []float32, marks detection.Marks, seed uint64) error {
	preset, ok := warmups.PresetNamed(crowdPreset)
	if !ok {
		return fmt.Errorf("there is no class %q", crowdPreset)
	}
	scene := preset.Scene(seed^1, w.items)
	scene.Rate, scene.Calls, scene.Background = onset.SampleRate, nil, synth.Background{}
	scene.Flow = synth.Flow{Early: []synth.Stretch{{Kind: synth.Applauding, Seconds: crowdLength}}}
	recording, err := synth.Generate(scene)
	if err != nil {
		return err
	}
	start := recording.Truth.Around[0].Start
	part := recording.Samples[at(start+crowdFrom):at(start+crowdUntil)]
	rng := rand.New(rand.NewPCG(seed, 80))
	over := crowdLeast + (crowdMost-crowdLeast)*rng.Float64()
	gain := math.Sqrt(powerAt(samples, marks.Times) / power(part) * math.Pow(10, -over/10))
	fade := at(crowdFade)
	for from := 0; from < len(samples); from += len(part) - fade {
		for i, x := range part[:min(len(part), len(samples)-from)] {
			edge := min(1, float64(i+1)/float64(fade), float64(len(part)-i)/float64(fade))
			samples[from+i] += float32(gain * math.Sqrt(edge) * float64(x))
		}
	}
	return nil
}

// at is the sample at a time in seconds.
func at(seconds float64) int { return int(seconds * onset.SampleRate) }

func power(samples []float32) float64 {
	sum := 0.0
	for _, x := range samples {
		sum += float64(x) * float64(x)
	}
	return sum / float64(max(1, len(samples)))
}

// powerAt is the mean power of what begins at some times.
func powerAt(samples []float32, times []float64) float64 {
	sum := 0.0
	for _, t := range times {
		from := min(max(0, at(t)), len(samples))
		sum += power(samples[from:min(from+at(strokePower), len(samples))])
	}
	return sum / float64(max(1, len(times)))
}
