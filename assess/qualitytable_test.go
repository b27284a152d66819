package assess

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"os"
	"slices"

	"clapladder.example/assess/internal/synth"
)

// tally is what a class of warm-ups adds up to.
type tally struct {
	scenes, truth, found, reported, right int
	falseAnswers, quietScenes             int

	participation, floor []float64 // absolute errors
	heard, true_, energy []float64 // of notes between 0.1 and 0.9
	tempo, share         []float64 // absolute errors
	spread, spreadTrue   []float64
	extrasFalse          int
	extrasBig, extrasHit int
	tierOff              []int
	offset               []float64
	openers              int // recordings with a main choice
	// of these: enough people manage it; nothing more than a tier harder would have done
	playable, hardEnough int
}

func (t *tally) merge(o *tally) {
	t.scenes += o.scenes
	t.truth += o.truth
	t.found += o.found
	t.reported += o.reported
	t.right += o.right
	t.falseAnswers += o.falseAnswers
	t.quietScenes += o.quietScenes
	t.participation = append(t.participation, o.participation...)
	t.floor = append(t.floor, o.floor...)
	t.heard = append(t.heard, o.heard...)
	t.true_ = append(t.true_, o.true_...)
	t.energy = append(t.energy, o.energy...)
	t.tempo = append(t.tempo, o.tempo...)
	t.share = append(t.share, o.share...)
	t.spread = append(t.spread, o.spread...)
	t.spreadTrue = append(t.spreadTrue, o.spreadTrue...)
	t.extrasFalse += o.extrasFalse
	t.extrasBig += o.extrasBig
	t.extrasHit += o.extrasHit
	t.tierOff = append(t.tierOff, o.tierOff...)
	t.offset = append(t.offset, o.offset...)
	t.openers += o.openers
	t.playable += o.playable
	t.hardEnough += o.hardEnough
}

const tableHead = "%-16s %3s %4s  %5s %5s %5s  %5s %5s %5s %5s  %6s %5s %5s  %5s %5s  %5s %5s  %5s %5s  %5s\n"

func (t *tally) row(name string) string {
	ratio := func(a, b int) float64 { return float64(a) / max(1, float64(b)) }
	exact, near := 0, 0
	for _, off := range t.tierOff {
		if off == 0 {
			exact++
		}
		if off >= -1 && off <= 1 {
			near++
		}
	}
	var spreadError, constantError float64
	middle := median(t.spreadTrue)
	for i, s := range t.spread {
		spreadError += math.Abs(s - t.spreadTrue[i])
		constantError += math.Abs(middle - t.spreadTrue[i])
	}
	return fmt.Sprintf("%-16s %3d %4d  %5.3f %5.3f %5d  %5.3f %5.3f %5.2f %5.2f  %6.4f %5.3f %5.2f  %5.2f %5.2f  %5.2f %5.2f  %5.2f %5.2f  %5.0f\n", name, t.scenes, t.truth,
		2*float64(t.found)/max(1, float64(t.truth+t.reported)), ratio(t.right, t.found), t.falseAnswers,
		mean(t.participation), mean(t.floor), correlation(t.heard, t.true_), correlation(t.energy, t.true_),
		median(t.tempo), mean(t.share), spreadError/max(1e-9, constantError),
		ratio(t.extrasFalse, t.found), ratio(t.extrasHit, t.extrasBig),
		ratio(exact, len(t.tierOff)), ratio(near, len(t.tierOff)), ratio(t.playable, t.openers),
		ratio(t.hardEnough, t.openers), 1000*mean(t.offset))
}

func mean(xs []float64) float64 {
	s := 0.0
	for _, x := range xs {
		s += x
	}
	return s / max(1, float64(len(xs)))
}

func median(xs []float64) float64 {
	if len(xs) == 0 {
		return math.NaN()
	}
	return slices.Sorted(slices.Values(xs))[len(xs)/2]
}

func correlation(xs, ys []float64) float64 {
	mx, my := mean(xs), mean(ys)
	var xx, yy, xy float64
	for i, x := range xs {
		xx, yy, xy = xx+(x-mx)*(x-mx), yy+(ys[i]-my)*(ys[i]-my), xy+(x-mx)*(ys[i]-my)
	}
	return xy / math.Sqrt(xx*yy)
}

func printTable(out io.Writer, scenes []synth.Scene, results []*tally, said []string) {
	classes := map[string]*tally{}
	var all tally
	for i, r := range results {
		if r == nil {
			continue
		}
		if os.Getenv("VERBOSE") != "" {
			fmt.Print(said[i])
		}
		c := classes[scenes[i].Class]
		if c == nil {
			c = &tally{}
			classes[scenes[i].Class] = c
		}
		c.merge(r)
		all.merge(r)
	}
	fmt.Fprintf(out, tableHead, "class", "n", "true", "F", "right", "false", "MAE", "floor", "corr",
		"floor", "tempo", "share", "sprd", "x-", "x+", "tier", "+-1", "play", "hard", "ms")
	names := make([]string, 0, len(classes))
	for name := range classes {
		names = append(names, name)
	}
	slices.SortFunc(names, cmp.Compare)
	for _, name := range names {
		fmt.Fprint(out, classes[name].row(name))
	}
	fmt.Fprint(out, all.row("all"))
}
