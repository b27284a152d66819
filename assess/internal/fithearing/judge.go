package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/response"
)

// score is what a class of warm-ups adds up to.
type score struct {
	share, truth  []float64 // of answers
	lengths       []int
	notes, heard  []float64 // participation, as it was and as estimated
	extras, found []float64 // the same of extras

	warmups, exact, close, covered int
	bias, level, levelBias, brier  float64
	chances                        [10]struct {
		n, came int
		chance  float64
	}
}

// judge estimates one warm-up with tables and compares.
func (w *world) judge(s *score, t tables, stated bool, x *Warmup) error {
	prior := ability.PriorForTiers(w.highest)
	prior.Level = w.middle
	session, err := ability.NewSession(ability.Settings{
		Tiers: w.highest, Prior: prior,
		CommonSD: response.CommonSD,
	})
	if err != nil {
		return err
	}
	for i := range x.Answers {
		a := &x.Answers[i]
		share := weigh(t.share, a.Heard.ShareFeatures())
		s.share, s.truth, s.lengths = append(s.share, clamp01(share)), append(s.truth, a.Share),
			append(s.lengths, len(a.Notes))
		for k, p := range a.Notes {
			s.notes = append(s.notes, p)
			f := a.Heard.NoteFeatures(k, clamp01(share))
			x := weigh(t.notes, f)
			x = max(x, f[0]*clamp01(share)-response.Slips)
			s.heard = append(s.heard, clamp01(x))
		}
		for k, p := range a.Extras {
			x := weigh(t.extras, a.Heard.ExtraFeatures(k, clamp01(share)))
			x = min(x, 1-clamp01(share)+response.Slips)
			s.extras = append(s.extras, p)
			s.found = append(s.found, clamp01(x))
		}
		sd := trueSD
		if stated {
			sd = a.SD
		}
		err := session.Add(ability.Observation{
			Difficulty: a.Difficulty, DifficultySD: sd, Share: clamp01(share),
			ShareSD: response.Leaning * t.errorOf(share),
			Reading: &ability.Reading{
				Mean: response.ReadingOf(t.mean, len(a.Notes)), Variance: response.ReadingOf(t.scatter, len(a.Notes)),
			},
			Item: a.Phrase, Attempt: a.Attempt,
		})
		if err != nil {
			return err
		}
		session.Called(a.Difficulty)
	}
	s.compare(session.Result(), x)
	return nil
}

func (s *score) compare(r ability.Result, x *Warmup) {
	s.warmups++
	off := r.Tier - x.Tier
	s.bias += float64(off)
	if off == 0 {
		s.exact++
	}
	if off >= -1 && off <= 1 {
		s.close++
	}
	s.level += math.Abs(r.Level - x.Level)
	s.levelBias += r.Level - x.Level
	if r.LevelLow <= x.Level && x.Level <= r.LevelHigh {
		s.covered++
	}
	left := 1.0
	for _, c := range r.TierChances {
		left -= c
	}
	for tier, chance := range append([]float64{max(left, 0)}, r.TierChances...) {
		came := tier == x.Tier
		hit := 0.0
		if came {
			hit = 1
		}
		s.brier += (chance - hit) * (chance - hit)
		b := &s.chances[min(int(10*chance), 9)]
		b.n++
		b.chance += chance
		if came {
			b.came++
		}
	}
}

// calibrationError is the expected calibration error of the chances of all tiers.
func (s *score) calibrationError() float64 {
	sum, n := 0.0, 0
	for _, b := range s.chances {
		sum += math.Abs(b.chance - float64(b.came))
		n += b.n
	}
	return sum / float64(n)
}

// area is the chance that an answer that 70 % or more got is given a higher share than one that
// fewer got.
func (s *score) area() float64 {
	var above, below []float64
	for i, truth := range s.truth {
		if truth >= ability.DefaultComfort {
			above = append(above, s.share[i])
		} else {
			below = append(below, s.share[i])
		}
	}
	slices.Sort(below)
	sum := 0.0
	for _, x := range above {
		low, _ := slices.BinarySearch(below, x)
		high, _ := slices.BinarySearch(below, math.Nextafter(x, 2))
		sum += float64(low+high) / 2
	}
	return sum / float64(len(above)*len(below))
}

// lengthGroups are the numbers of notes that the bias of a share is told for.
var lengthGroups = [][2]int{{1, 4}, {5, 6}, {7, 9}, {10, 99}}

func (s *score) biasOf(group [2]int) float64 {
	sum, n := 0.0, 0.0
	for i, length := range s.lengths {
		if length >= group[0] && length <= group[1] {
			sum, n = sum+s.share[i]-s.truth[i], n+1
		}
	}
	return sum / n
}

func printHead(out io.Writer) {
	fmt.Fprintf(out, "%-14s %5s %5s %5s %6s  %5s %6s %5s  %5s %5s  %5s %5s  %6s %6s %6s %6s  %5s "+
		"%5s %5s %5s\n", "class", "n", "exact", "+-1", "bias",
		"level", "lbias", "cover", "brier", "ece", "rms", "auc", "1-4", "5-6", "7-9", "10-", "part",
		"corr", "x", "xcorr")
}

func (s *score) print(out io.Writer, name string) {
	n := float64(s.warmups)
	square := 0.0
	for i, x := range s.share {
		square += (x - s.truth[i]) * (x - s.truth[i])
	}
	part := 0.0
	for i, x := range s.heard {
		part += math.Abs(x-s.notes[i]) / float64(len(s.heard))
	}
	fmt.Fprintf(out, "%-14s %5d %5.3f %5.3f %+6.2f  %5.2f %+6.2f %5.3f  %5.3f %5.3f  %5.3f %5.3f ",
		name, s.warmups, float64(s.exact)/n,
		float64(s.close)/n, s.bias/n, s.level/n, s.levelBias/n, float64(s.covered)/n, s.brier/n,
		s.calibrationError(),
		math.Sqrt(square/float64(len(s.share))), s.area())
	for _, g := range lengthGroups {
		fmt.Fprintf(out, " %+6.3f", s.biasOf(g))
	}
	ex := 0.0
	for i, x := range s.found {
		ex += math.Abs(x-s.extras[i]) / float64(len(s.found))
	}
	fmt.Fprintf(out, "  %5.3f %5.3f %5.3f %5.3f\n", part, correlation(s.heard, s.notes), ex,
		correlation(s.found, s.extras))
}

func correlation(xs, ys []float64) float64 {
	mean := func(v []float64) float64 {
		sum := 0.0
		for _, x := range v {
			sum += x
		}
		return sum / float64(len(v))
	}
	mx, my := mean(xs), mean(ys)
	var xx, yy, xy float64
	for i, x := range xs {
		xx, yy, xy = xx+(x-mx)*(x-mx), yy+(ys[i]-my)*(ys[i]-my), xy+(x-mx)*(ys[i]-my)
	}
	return xy / math.Sqrt(xx*yy)
}
