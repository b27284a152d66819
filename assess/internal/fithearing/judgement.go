package main

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"

	"clapladder.example/assess/internal/detection"
	"clapladder.example/assess/internal/onset"
)

// besideMark is the seconds around what was clapped within which a candidate that is not right is
// neither right nor wrong: it is a tail, or a matter of taste.
const besideMark = 0.1

// rows are candidates of one kind: their features, whether each is a burst, 1 or 0, and how many
// each counts for.
type rows struct {
	features      [][]float64
	burst, counts []float64
}

// soundsOf tells bursts from other sounds among the candidates of a kind. In a class each counts the
// more the fewer there are to be found in it, as in its F measure: a burst missed and another sound
// taken for one cost that about the same where it is near 1. Dull strokes are left out that are beside
// bursts by the weights.
func soundsOf(takes []take, kind onset.Kind, w onset.Weights) (out rows) {
	all, marks := 0.0, map[string]float64{}
	for _, t := range takes {
		n := float64(len(t.marks.Times))
		all, marks[t.class.name] = all+n, marks[t.class.name]+n
	}
	for i := range takes {
		t := &takes[i]
		counts := all / (float64(len(marks)) * max(1, marks[t.class.name]))
		for _, c := range t.candidates.Of(kind, w) {
			burst := 1.0
			if nearest(t.marks.Times, c.Time) >= t.class.window() {
				burst = 0
				if !t.marks.Inside(c.Time) || nearest(t.marks.Times, c.Time) < besideMark ||
					nearest(t.marks.Others, c.Time) < besideMark {
					continue
				}
			}
			out.features = append(out.features, c.Features)
			out.burst, out.counts = append(out.burst, burst), append(out.counts, counts)
		}
	}
	return out
}

// nearest is the distance of a time to the nearest of some times.
func nearest(times []float64, t float64) float64 {
	least := math.Inf(1)
	for _, x := range times {
		least = min(least, math.Abs(x-t))
	}
	return least
}

// fittedKinds are the kinds whose weights are fitted; a group's are set, see package onset. Dull
// strokes come after claps, for they are what is no clap.
var fittedKinds = []onset.Kind{onset.ClapKind, onset.DullKind}

// fitBursts fits the weights of the judgement of bursts.
func fitBursts(takes []take) (onset.Weights, error) {
	w := onset.InUse()
	for _, kind := range fittedKinds {
		s := soundsOf(takes, kind, w)
		var err error
		if w[kind], err = logistic(s.features, s.burst, s.counts); err != nil {
			return w, fmt.Errorf("%s: %w", onset.KindNames[kind], err)
		}
	}
	return w, nil
}

// printWeights writes weights as package onset holds them.
func printWeights(out io.Writer, w onset.Weights) {
	for _, kind := range fittedKinds {
		printTable(out, onset.KindNames[kind]+"Weights", w[kind], onset.FeatureNames[kind])
	}
}

// scoresOf are the scores of each class, by name.
func scoresOf(takes []take, w onset.Weights) map[string]detection.Score {
	out := map[string]detection.Score{}
	for i := range takes {
		s := out[takes[i].class.name]
		s.Add(takes[i].score(w))
		out[takes[i].class.name] = s
	}
	return out
}

// meanF is the mean F measure of classes.
func meanF(scores map[string]detection.Score) float64 {
	sum := 0.0
	for _, name := range slices.Sorted(maps.Keys(scores)) { // so that it is rounded the same every time
		sum += scores[name].F()
	}
	return sum / float64(len(scores))
}

// withoutSounds leaves a class of recordings out; onlySounds keeps it alone.
func withoutSounds(takes []take, class soundClass) []take {
	return slices.DeleteFunc(slices.Clone(takes), func(t take) bool { return t.class == class })
}

func onlySounds(takes []take, class soundClass) []take {
	return slices.DeleteFunc(slices.Clone(takes), func(t take) bool { return t.class != class })
}

// reportBursts prints how well bursts are found, class by class.
func reportBursts(out io.Writer, takes []take,
	weightsFor func(class soundClass) (onset.Weights, error),
) error {
	fmt.Fprintf(out, "%-20s %6s %6s %6s %6s  %6s\n", "class", "marks", "missed", "false", "F", "in use")
	all := map[string]detection.Score{}
	used := scoresOf(takes, onset.InUse())
	for _, c := range slices.Concat(soundClasses, crowdClasses) {
		own := onlySounds(takes, c)
		if len(own) == 0 {
			continue
		}
		w, err := weightsFor(c)
		if err != nil {
			return err
		}
		s := scoresOf(own, w)[c.name]
		all[c.name] = s
		fmt.Fprintf(out, "%-20s %6d %6d %6d %6.3f  %6.3f\n", c.name, s.Marks, s.Marks-s.Hits, s.Found-s.Hits,
			s.F(), used[c.name].F())
	}
	fmt.Fprintf(out, "%-20s %6s %6s %6s %6.3f  %6.3f\n", "mean", "", "", "", meanF(all), meanF(used))
	return nil
}

// What the weights in use may differ by from those fitted: the share of the candidates of a kind that
// they judge otherwise, and what their mean F measure is lower by.
const (
	mostParted = 0.02
	mostLower  = 0.003
)

// compareBursts fails where the weights in use judge otherwise than those fitted.
func compareBursts(takes []take, fitted, used onset.Weights) error {
	for _, kind := range fittedKinds {
		s, parted := soundsOf(takes, kind, fitted), 0
		for _, features := range s.features {
			if (weigh(fitted[kind], features) > 0) != (weigh(used[kind], features) > 0) {
				parted++
			}
		}
		if share := float64(parted) / float64(max(1, len(s.features))); share > mostParted {
			return fmt.Errorf("%sWeights: what is in use judges %.1f %% of the sounds otherwise than what "+
				"was fitted, at most %.0f %% is allowed", onset.KindNames[kind], 100*share, 100*mostParted)
		}
	}
	if lower := meanF(scoresOf(takes, fitted)) - meanF(scoresOf(takes, used)); lower > mostLower {
		return fmt.Errorf("the weights of bursts in use have a mean F measure that is lower by %.4f than "+
			"those fitted, at most %.3f is allowed", lower, mostLower)
	}
	return nil
}
