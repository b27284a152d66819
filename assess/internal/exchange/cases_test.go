package exchange

import (
	"fmt"
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

// reelExamples are reels of recorded sound, a few of every class of one half.
func reelExamples(t testing.TB, l realsound.Library, untouched bool, each int) []example {
	var out []example
	for _, c := range realsound.ReelClasses {
		for number := range max(each, 2*c.Ways()) {
			r, ok := realsound.MakeReel(t, l, c, number, untouched)
			if !ok {
				continue
			}
			out = append(out, newExample(t, c.Name, fmt.Sprint(c.Name, " ", number), false, r.Samples))
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
			scene.Rate = onset.SampleRate
			recording, err := synth.Generate(scene)
			require.NoError(t, err)
			name := fmt.Sprint(p.Name, " ", seed)
			out = append(out, newExample(t, p.Name, name, !p.Mute, recording.Samples))
		}
	}
	return out
}

func newExample(t testing.TB, class, name string, exchange bool, samples []float32) example {
	seconds := float64(len(samples)) / onset.SampleRate
	a, found := listened(t, samples)
	return example{class, name, exchange, seconds, digests(listener{a}, found), Kind(a)}
}

// claimed is how many answers are claimed of an example.
func (x example) claimed() int {
	var j Judgement
	j.search(x.digests, 0, len(x.digests))
	n := 0
	for _, s := range j.Stretches {
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
