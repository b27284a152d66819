package exchange

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/realsound"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/warmups"
)

// example is a recording of which it is known whether it holds call and response.
type example struct {
	class, name string
	exchange    bool
	seconds     float64
	digests     []digest
	kind        Sound
}

// reelOf ends the names of classes that are reels: some made-up warm-ups have the same names.
const reelOf = " reel"

// heldBack reports whether a class is a reel that nothing is tuned on.
func heldBack(class string) bool {
	name, reel := strings.CutSuffix(class, reelOf)
	return reel && slices.Contains(realsound.HeldBack, name)
}

// reelExamples are reels of recorded sound, a few of every class of one half.
func reelExamples(t testing.TB, l realsound.Library, untouched bool, each int) []example {
	var out []example
	for _, c := range realsound.ReelClasses {
		for number := range max(each, 2*c.Ways()) {
			r, ok := realsound.MakeReel(t, l, c, number, untouched)
			if !ok {
				continue
			}
			name := fmt.Sprint(c.Name, " ", number)
			out = append(out, newExample(t, c.Name+reelOf, name, false, r.Samples))
		}
	}
	return out
}

// madeUpExamples are made-up warm-ups, a few of every class.
func madeUpExamples(t testing.TB, from, each uint64) []example {
	var out []example
	for _, p := range warmups.Presets() {
		for seed := from; seed < from+each; seed++ {
			scene := p.Scene(seed, starterItems())
			name := fmt.Sprint(p.Name, " ", seed)
			out = append(out, madeUp(t, p.Name, name, !p.Mute, scene))
		}
	}
	return out
}

// sessionExamples are made-up sessions of some classes, with what real ones hold besides.
func sessionExamples(t testing.TB, from, each uint64, classes ...string) []example {
	var out []example
	for _, class := range classes {
		p, ok := warmups.PresetNamed(class)
		require.True(t, ok, class)
		for seed := from; seed < from+each; seed++ {
			scene := p.Scene(seed, starterItems())
			out = append(out, madeUp(t, class, fmt.Sprint(class, " ", seed), !p.Mute, scene))
		}
	}
	return out
}

// plainExamples are made-up warm-ups of evenly spaced calls only, the last of each class of one call
// over and over: that is how many begin.
func plainExamples(t testing.TB, from, each uint64) []example {
	plain := slices.DeleteFunc(starterItems(), func(x warmups.Item) bool {
		var beats []float64
		for _, n := range x.Phrase.Notes {
			beats = append(beats, n.Beat)
		}
		return !even(beats)
	})
	var out []example
	for _, class := range []string{"ordinary", "babble", "hall", "class-of-three", "music", "loose-group"} {
		p, ok := warmups.PresetNamed(class)
		require.True(t, ok, class)
		for seed := from; seed < from+each; seed++ {
			scene := p.Scene(seed, plain)
			for i := range scene.Calls {
				if seed == from+each-1 {
					scene.Calls[i] = scene.Calls[0]
				}
			}
			name := fmt.Sprint("plain ", class, " ", seed)
			out = append(out, madeUp(t, "plain beats only", name, true, scene))
		}
	}
	return out
}

func madeUp(t testing.TB, class, name string, exchange bool, scene synth.Scene) example {
	scene.Rate = onset.SampleRate
	recording, err := synth.Generate(scene)
	require.NoError(t, err)
	return newExample(t, class, name, exchange, recording.Samples)
}

func newExample(t testing.TB, class, name string, exchange bool, samples []float32) example {
	seconds := float64(len(samples)) / onset.SampleRate
	a, found := listened(t, samples)
	return example{class, name, exchange, seconds, digests(listener{a}, found), Kind(a)}
}

// judged is what is thought of an example.
func (x example) judged() Judgement { return judge(x.digests) }

// claimed is how many answers are claimed of an example.
func (x example) claimed() int {
	n := 0
	for _, s := range x.judged().Stretches {
		n += answers(x.digests[s.first:s.end])
	}
	return n
}

func answers(list []digest) int {
	n := 0
	for _, d := range list {
		if d.Answered {
			n++
		}
	}
	return n
}

// stretches are the parts of a list with n answered rounds, from answered to answered.
func stretches(list []digest, n int) [][]digest {
	var at []int
	for i, d := range list {
		if d.Answered {
			at = append(at, i)
		}
	}
	var out [][]digest
	for i := 0; i+n <= len(at); i++ {
		out = append(out, list[at[i]:at[i+n-1]+1])
	}
	return out
}
