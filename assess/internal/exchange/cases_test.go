package exchange

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/synth"
)

// example is a recording of which it is known whether it holds call and response.
type example struct {
	class, name string
	exchange    bool
	seconds     float64
	digests     []digest
	a           *onset.Analysis
}

// reelExamples are reels of recorded sound, a few of every class of one half.
func reelExamples(t *testing.T, l library, untouched bool, each int) []example {
	var out []example
	for _, c := range reelClasses {
		for number := range max(each, 2*len(c.ways)) {
			r, ok := makeReel(t, l, c, number, untouched)
			if !ok {
				continue
			}
			out = append(out, newExample(t, c.name, fmt.Sprint(c.name, " ", number), false, r.samples))
		}
	}
	return out
}

// madeUpExamples are made-up warm-ups, a few of every class.
func madeUpExamples(t *testing.T, from, each uint64) []example {
	var out []example
	for _, p := range synth.Presets() {
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

func newExample(t *testing.T, class, name string, exchange bool, samples []float32) example {
	seconds := float64(len(samples)) / onset.SampleRate
	a, found := listened(t, samples)
	return example{class, name, exchange, seconds, digests(listener{a}, found), a}
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

// figures are what the examples of a class add up to.
type figures struct {
	n, found, claimed, any, tiers int
	minutes                       float64
}

const figuresHead = "%-20s %4s %6s  %12s %12s  %4s %7s"

func (f figures) row(class string) string {
	return fmt.Sprintf("%-20s %4d %6.1f  %12.2f %12.2f  %4d %7d", class, f.n, f.minutes,
		float64(f.found)/f.minutes, float64(f.claimed)/f.minutes, f.any, f.tiers)
}

// table sums examples up by class, under their classes' names, and over all of them.
func table(t *testing.T, examples []example) (all figures) {
	byClass := map[string]figures{}
	var order []string
	for _, x := range examples {
		if !slices.Contains(order, x.class) {
			order = append(order, x.class)
		}
		n := x.claimed()
		all = all.with(x, n)
		byClass[x.class] = byClass[x.class].with(x, n)
	}
	t.Logf(figuresHead, "class", "n", "min", "found/min", "claimed/min", "any", "4 more")
	for _, class := range order {
		t.Log(byClass[class].row(class))
	}
	t.Log(all.row("all"))
	return all
}

func (f figures) with(x example, claimed int) figures {
	f.n, f.minutes = f.n+1, f.minutes+x.seconds/60
	f.found, f.claimed = f.found+answers(x.digests), f.claimed+claimed
	if claimed > 0 {
		f.any++
	}
	if claimed >= enoughRounds {
		f.tiers++
	}
	return f
}
