package ability

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// simulate plays groups of a condition, with a fixed seed for each, and
// compares after each of the given numbers of rounds. Groups are divided among
// the processors; the sums do not depend on how many there are.
func simulate(w world, c condition, groups int, after []int) ([]comparison, error) {
	scorer, err := NewScorer(Noise{
		ShareSD: c.noise, DifficultySD: c.difficultyError,
		People: c.people,
	}, DefaultComfort)
	if err != nil {
		return nil, err
	}
	const lot = 50
	lots := (groups + lot - 1) / lot
	results := make([][]comparison, lots)
	failures := make([]error, lots)
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for l := range next {
				results[l] = make([]comparison, len(after))
				for g := l * lot; g < min((l+1)*lot, groups); g++ {
					rng := rand.New(rand.NewPCG(uint64(g), 20))
					err := play(rng, w, c, scorer, after[len(after)-1],
						func(round int, truth crowd, p *Posterior) {
							if at := slices.Index(after, round); at >= 0 {
								results[l][at].add(w, c, round, truth, p)
							}
						})
					if err != nil {
						failures[l] = err
					}
				}
			}
		})
	}
	for l := range lots {
		next <- l
	}
	close(next)
	wait.Wait()
	total := make([]comparison, len(after))
	for l := range lots {
		if failures[l] != nil {
			return nil, failures[l]
		}
		for i := range after {
			total[i].merge(&results[l][i])
		}
	}
	return total, nil
}

// A short look at two conditions guards what the long benchmark shows in full.
// The limits leave three standard errors of 120 groups.
func TestEstimateIsCalibrated(t *testing.T) {
	for _, c := range []condition{
		{25, "normal", 0.5, 0.10},
		{8, "thirds", 0.5, 0.15},
	} {
		t.Run(c.String(), func(t *testing.T) {
			t.Parallel()
			result, err := simulate(world{tiers: 9}, c, 120, []int{4, 8})
			require.NoError(t, err)
			for _, r := range result {
				assert.InDelta(t, 0.91, r.rate(r.covered), 0.075, "coverage of the 90 %% interval")
				assert.Less(t, r.every.calibrationError(), 0.03, "calibration of tier chances")
			}
			assert.Less(t, rootMean(&result[1]), rootMean(&result[0]), "more rounds, better level")
			assert.GreaterOrEqual(t, result[1].rate(result[1].close), 0.95, "within one tier")
			assert.Greater(t, result[1].rate(result[1].exact), 0.55, "tier right after eight rounds")
		})
	}
}

// BenchmarkCalibration prints how honest the estimate is in every condition. It
// is a simulation, not a measurement of speed:
//
//	go test -run '^$' -bench Calibration -timeout 0 ./assess/ability
//
// Environment: CALIBRATION_GROUPS groups a condition (2000),
// CALIBRATION_ONLY prints conditions whose line contains this text,
// CALIBRATION_TIERS highest tier (9), CALIBRATION_DISCRIMINATION of every group
// (drawn from the prior), CALIBRATION_ORDER=random, CALIBRATION_VERDICTS=1 for
// got/partly/lost by ear, CALIBRATION_WRONG share of rounds that are not what
// they seem (0).
func BenchmarkCalibration(b *testing.B) {
	w := world{
		tiers:          int(number("CALIBRATION_TIERS", 9)),
		discrimination: number("CALIBRATION_DISCRIMINATION", 0),
		random:         os.Getenv("CALIBRATION_ORDER") == "random",
		verdicts:       os.Getenv("CALIBRATION_VERDICTS") != "",
		wrong:          number("CALIBRATION_WRONG", 0),
	}
	groups := int(number("CALIBRATION_GROUPS", 2000))
	after := []int{4, 6, 8, 12}
	for b.Loop() {
		fmt.Printf("\n%d groups a condition, %+v\n", groups, w)
		fmt.Println("cover: 90 % intervals of the level; (of …): best possible exact; ece, ece1: calibration error of all tiers' chances, of the stated tier's")
		var pooled comparison
		low, high, worst := 1.0, 0.0, 0.0
		for _, c := range conditions() {
			if !strings.Contains(c.String(), os.Getenv("CALIBRATION_ONLY")) {
				continue
			}
			result, err := simulate(w, c, groups, after)
			if err != nil {
				b.Fatal(err)
			}
			for i := range result {
				r := &result[i]
				fmt.Printf("%s rounds %2d: cover %.3f exact %.3f (of %.3f) within1 %.4f ece %.3f ece1 %.3f mix %.2f level sd %.2f rmse %.2f\n",
					c, after[i], r.rate(r.covered), r.rate(r.exact),
					r.ceiling/float64(r.groups), r.rate(r.close),
					r.every.calibrationError(), r.stated.calibrationError(), r.rate(r.mix),
					r.sd/float64(r.groups), rootMean(r))
				low, high = min(low, r.rate(r.covered)), max(high, r.rate(r.covered))
				worst = max(worst, r.every.calibrationError())
				pooled.merge(r)
			}
		}
		if pooled.groups == 0 {
			b.Fatal("no condition has CALIBRATION_ONLY in its name")
		}
		fmt.Printf("all: cover %.3f from %.3f to %.3f, exact %.3f, within1 %.4f, ece %.3f worst %.3f, ece1 %.3f\n",
			pooled.rate(pooled.covered), low, high, pooled.rate(pooled.exact), pooled.rate(pooled.close),
			pooled.every.calibrationError(), worst, pooled.stated.calibrationError())
		fmt.Println("stated tier, chance given → how often right:")
		for _, bin := range pooled.stated {
			if bin.n > 0 {
				fmt.Printf("  %.2f → %.2f (%d)\n", bin.chance/float64(bin.n),
					float64(bin.came)/float64(bin.n), bin.n)
			}
		}
		b.ReportMetric(low, "cover-min")
		b.ReportMetric(high, "cover-max")
		b.ReportMetric(worst, "ece-max")
	}
}

func conditions() []condition {
	var out []condition
	for _, people := range []int{8, 25, 60} {
		for _, mix := range []string{"alike", "normal", "thirds"} {
			for _, err := range []float64{0, 0.5, 1} {
				for _, noise := range []float64{0.05, 0.10, 0.15} {
					out = append(out, condition{people, mix, err, noise})
				}
			}
		}
	}
	return out
}

func number(name string, otherwise float64) float64 {
	if v, err := strconv.ParseFloat(os.Getenv(name), 64); err == nil {
		return v
	}
	return otherwise
}

func rootMean(t *comparison) float64 { return math.Sqrt(t.square / float64(t.groups)) }
