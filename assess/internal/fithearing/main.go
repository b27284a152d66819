// Fithearing prints the fitted numbers of the hearing again, from made-up warm-ups, and says how
// well they do:
//
//	go run ./assess/internal/fithearing
//	go run ./assess/internal/fithearing -check
//	go run ./assess/internal/fithearing -judge 1008
//
// Fitted are the weights by which package onset tells one person's claps and dull strokes from other
// sounds (those of groups are set, and judged with them), and the tables of package response: the
// share of a group that got a phrase with its error, participation at notes and extras, and the spread
// of claps. What the calls tell of the level, a number of package ability, is printed too. How well
// they do is said for each class of recordings by numbers that were fitted without it; how well
// chances come true by more warm-ups, of strokes and energies without sound. The fit takes about seven
// minutes on two quiet cores; -batches 0 leaves bursts out and -warmups 0 all else. -check also
// compares with what the packages have and fails where they part. -judge takes the packages' numbers
// as they are and judges so many other warm-ups, and other recordings.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/response"
)

// Seeds of the warm-ups fitted and of those judged; the halves never meet.
const (
	fitSeed   = 1
	judgeSeed = 500_001
)

// settings are what the command line says.
type settings struct {
	batches, warmups, judge, silent int
	check, stated                   bool
}

func main() {
	var s settings
	flag.IntVar(&s.batches, "batches", 2,
		"how many batches of four recordings of each class to fit bursts to; 0 for none")
	flag.IntVar(&s.warmups, "warmups", 480, "how many warm-ups to fit; 0 for none")
	flag.IntVar(&s.judge, "judge", 0, "judge the tables in use on so many other warm-ups instead")
	flag.IntVar(&s.silent, "silent", 1008, "how many warm-ups without sound to judge")
	flag.BoolVar(&s.check, "check", false, "fail where the tables in use are not those fitted")
	flag.BoolVar(&s.stated, "stated", false,
		"take the errors of difficulties as the bank states them, not as they are here (0.5)")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := s.run(ctx, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func (s settings) run(ctx context.Context, out io.Writer) error {
	w := newWorld()
	if s.judge > 0 {
		return s.judgeOthers(ctx, w, out)
	}
	var parted []error // of -check, all of them
	for _, part := range []struct {
		n   int
		fit func(context.Context, *world, io.Writer) (parted, failed error)
	}{{s.batches, s.bursts}, {s.warmups, s.answers}} {
		if part.n == 0 {
			continue
		}
		p, err := part.fit(ctx, w, out)
		if err != nil {
			return err
		}
		parted = append(parted, p)
	}
	if s.check {
		return errors.Join(parted...)
	}
	return nil
}

// bursts fits the weights of package onset. The first error says where those in use part from them.
func (s settings) bursts(ctx context.Context, w *world, out io.Writer) (parted, failed error) {
	takes, err := w.batches(ctx, fitSeed, s.batches)
	if err != nil {
		return nil, err
	}
	fitted, err := fitBursts(takes)
	if err != nil {
		return nil, err
	}
	printWeights(out, fitted)
	fmt.Fprintf(out, "\n%d recordings, bursts of each class by weights fitted to the others\n", len(takes))
	err = reportBursts(out, takes, func(c soundClass) (onset.Weights, error) {
		return fitBursts(withoutSounds(takes, c))
	})
	fmt.Fprintln(out)
	return compareBursts(takes, fitted, onset.InUse()), err
}

// answers fits the tables of package response. The first error says where those in use, and what
// package ability makes of the calls, part from what was fitted.
func (s settings) answers(ctx context.Context, w *world, out io.Writer) (parted, failed error) {
	warmups, err := w.hear(ctx, fitSeed, s.warmups)
	if err != nil {
		return nil, err
	}
	fitted, err := fitAll(warmups)
	if err != nil {
		return nil, err
	}
	fitted.print(out)
	fmt.Fprintf(out, "\n%d warm-ups, each class judged by tables fitted to the others\n", len(warmups))
	if err := w.report(out, warmups, s.stated,
		func(class string) (tables, error) { return fit(without(warmups, class)) }); err != nil {
		return nil, err
	}
	chosen, err := w.judgeSilent(ctx, out, s.stated, s.warmups, s.silent)
	return errors.Join(fitted.compare(inUse(), warmups), chosen), err
}

// judgeOthers judges what is in use on warm-ups and recordings that nothing was fitted to.
func (s settings) judgeOthers(ctx context.Context, w *world, out io.Writer) error {
	warmups, err := w.hear(ctx, judgeSeed, s.judge)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "%d warm-ups that nothing was fitted to, tables in use\n", len(warmups))
	err = w.report(out, warmups, s.stated, func(string) (tables, error) { return inUse(), nil })
	if err != nil || s.batches == 0 {
		return err
	}
	takes, err := w.batches(ctx, judgeSeed, s.batches)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "\n%d recordings that nothing was fitted to, weights in use\n", len(takes))
	return reportBursts(out, takes, func(soundClass) (onset.Weights, error) { return onset.InUse(), nil })
}

// report judges warm-ups class by class.
func (w *world) report(out io.Writer, warmups []Warmup, stated bool,
	tablesFor func(class string) (tables, error),
) error {
	var all score
	printHead(out)
	for _, class := range classes(warmups) {
		t, err := tablesFor(class)
		if err != nil {
			return err
		}
		var s score
		for _, x := range only(warmups, class) {
			for _, s := range []*score{&s, &all} {
				if err := w.judge(s, t, stated, &x); err != nil {
					return err
				}
			}
		}
		s.print(out, class)
	}
	all.print(out, "all")
	return nil
}

// inUse are the tables that package response has.
func inUse() tables {
	t, used := tables{}, response.Tables()
	for _, p := range t.parts() {
		*p.weights = used[p.name]
	}
	return t
}

// part is one table with its name and those of its features.
type part struct {
	name     string
	weights  *[]float64
	features []string
}

func (t *tables) parts() []part {
	return []part{
		{"spreadWeights", &t.spread, response.SpreadNames},
		{"fullWeights", &t.full, response.FullNames},
		{"shareWeights", &t.share, response.ShareNames},
		{"shareVariance", &t.variance, response.ErrorNames},
		{"readingMean", &t.mean, response.ReadingNames},
		{"readingVariance", &t.scatter, response.ReadingNames},
		{"noteWeights", &t.notes, response.NoteNames},
		{"extraWeights", &t.extras, response.ExtraNames},
	}
}

func (t tables) print(out io.Writer) {
	for _, p := range t.parts() {
		printTable(out, p.name, *p.weights, p.features)
	}
}

// printTable writes a table as the packages hold it.
func printTable(out io.Writer, name string, weights []float64, features []string) {
	fmt.Fprintf(out, "var %s = [%d]float64{\n", name, len(weights))
	for i, x := range weights {
		fmt.Fprintf(out, "\t%.4f, // %s\n", x, features[i])
	}
	fmt.Fprintln(out, "}")
}

// mayDiffer is by how much, root mean square over the answers, what the tables in use say may differ
// from what those fitted say: a good deal less than anybody reads, and more than a hearing that was
// changed a little makes of it.
const mayDiffer = 0.005

// compare fails where tables part in what they say of the answers.
func (t tables) compare(used tables, warmups []Warmup) error {
	var full, share, variance, mean, scatter, spread, notes, extras difference
	for _, w := range warmups {
		full.add(response.FullCorrection(t.full, w.Total, len(w.Answers)),
			response.FullCorrection(used.full, w.Total, len(w.Answers)))
	}
	each(warmups, func(_ *Warmup, a *Answer) {
		f := response.SpreadFeatures(a.Heard.Fitted, a.Heard.Looser)
		spread.add(response.SpreadMiddle*10*math.Exp(weigh(t.spread, f[:])),
			response.SpreadMiddle*10*math.Exp(weigh(used.spread, f[:])))
		x := a.Heard.ShareFeatures()
		share.add(weigh(t.share, x), weigh(used.share, x))
		estimate := clamp01(weigh(t.share, x))
		variance.add(t.errorOf(estimate), used.errorOf(estimate))
		r := response.ReadingFeatures(a.Share, len(a.Notes))
		mean.add(weigh(t.mean, r[:]), weigh(used.mean, r[:]))
		scatter.add(deviation(t.scatter, r[:]), deviation(used.scatter, r[:]))
		for i := range a.Notes {
			x := a.Heard.NoteFeatures(i, estimate)
			notes.add(weigh(t.notes, x), weigh(used.notes, x))
		}
		for i := range a.Extras {
			x := a.Heard.ExtraFeatures(i, estimate)
			extras.add(weigh(t.extras, x), weigh(used.extras, x))
		}
	})
	var problems []error
	for _, d := range []struct {
		name string
		difference
	}{
		{"spreadWeights", spread},
		{"fullWeights", full},
		{"shareWeights", share},
		{"shareVariance", variance},
		{"readingMean", mean},
		{"readingVariance", scatter},
		{"noteWeights", notes},
		{"extraWeights", extras},
	} {
		if !(d.mean() <= mayDiffer) {
			problems = append(problems,
				fmt.Errorf("%s: what is in use differs by %.4f from what was fitted, at most "+
					"%.3f is allowed", d.name, d.mean(), mayDiffer))
		}
	}
	return errors.Join(problems...)
}

// deviation is the standard deviation that a table of variances makes of features.
func deviation(table, features []float64) float64 {
	return math.Sqrt(max(weigh(table, features), response.LeastShareError*response.LeastShareError))
}

// difference is how far two estimates of the same lie apart.
type difference struct{ squares, n float64 }

func (d *difference) add(a, b float64) {
	d.squares += (a - b) * (a - b)
	d.n++
}

func (d *difference) mean() float64 { return math.Sqrt(d.squares / d.n) }
