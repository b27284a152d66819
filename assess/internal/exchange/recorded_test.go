package exchange

import (
	"fmt"
	"io"
	"slices"
	"testing"

	"clapladder.example/assess/internal/figures"
	"clapladder.example/assess/internal/realsound"
)

// BenchmarkReels prints what is claimed of recorded sounds without any call and response, and of
// made-up warm-ups. The sounds are of the untouched half and of the classes held back, the warm-ups
// of seeds that nothing was tuned on. It takes minutes.
func BenchmarkReels(b *testing.B) {
	l := realsound.Find(b)
	for b.Loop() {
		reels := reelExamples(b, l, true, 4)
		for _, x := range reelExamples(b, l, false, 4) {
			if heldBack(x.class) {
				x.class += ", held back"
				reels = append(reels, x)
			}
		}
		var answered, mute []example
		for _, x := range madeUpExamples(b, 88000, 3) {
			if x.exchange {
				answered = append(answered, x)
			} else {
				mute = append(mute, x)
			}
		}
		reportReels(figures.To(b, "reels.txt"), reels, mute, answered)
	}
}

// reportReels prints what is claimed of each class, and what reels are taken for.
func reportReels(out io.Writer, reels, mute, answered []example) {
	fmt.Fprintf(out, "Recorded sounds without call and response\n\n")
	table(out, reels)
	fmt.Fprintf(out, "\nMade-up recordings without call and response\n\n")
	table(out, mute)
	fmt.Fprintf(out, "\nMade-up warm-ups\n\n")
	table(out, answered)
	fmt.Fprintf(out, "\nWhat the recorded sounds are taken for\n\n")
	kinds(out, reels)
}

// figuresOf is what the examples of a class add up to.
type figuresOf struct {
	n, found, claimed, any, tiers int
	minutes                       float64
}

func (f figuresOf) with(x example) figuresOf {
	claimed := x.claimed()
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

func (f figuresOf) row(class string) string {
	return fmt.Sprintf("%-22s %4d %6.1f %9.2f %9.2f %9d %9d\n", class, f.n, f.minutes,
		float64(f.found)/f.minutes, float64(f.claimed)/f.minutes, f.any, f.tiers)
}

var heading = fmt.Sprintf("%-22s %4s %6s %9s %9s %9s %9s\n",
	"class", "n", "min", "found/min", "claimed", "any", "tier")

// table sums examples up by class and over all. Found are answers a minute before they are weighed,
// claimed after; any are recordings in which any is claimed, and tier those with enough for a tier.
func table(out io.Writer, examples []example) {
	fmt.Fprint(out, heading)
	byClass, all := map[string]figuresOf{}, figuresOf{}
	for _, x := range examples {
		byClass[x.class] = byClass[x.class].with(x)
		all = all.with(x)
	}
	for _, class := range classesOf(examples) {
		fmt.Fprint(out, byClass[class].row(class))
	}
	fmt.Fprint(out, all.row("all"))
}

// kinds counts by class what sounds are taken for.
func kinds(out io.Writer, examples []example) {
	all := []Sound{Little, OnePerson, Ticking, Knocking, Speech, Music, Noise, Other}
	fmt.Fprintf(out, "%-22s", "class")
	for _, kind := range all {
		fmt.Fprintf(out, " %10s", kind)
	}
	fmt.Fprintln(out)
	for _, class := range classesOf(examples) {
		fmt.Fprintf(out, "%-22s", class)
		for _, kind := range all {
			n := 0
			for _, x := range examples {
				if x.class == class && x.kind == kind {
					n++
				}
			}
			fmt.Fprintf(out, " %10d", n)
		}
		fmt.Fprintln(out)
	}
}

// classesOf lists the classes in the order in which they come.
func classesOf(examples []example) []string {
	var out []string
	for _, x := range examples {
		if !slices.Contains(out, x.class) {
			out = append(out, x.class)
		}
	}
	return out
}
