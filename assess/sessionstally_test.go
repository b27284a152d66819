package assess

import (
	"fmt"
	"math"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/rhythm"
)

// sessionTally is what a class of sessions adds up to.
type sessionTally struct {
	n, truth, found, reported int
	minutes                   float64

	inBank, right           int // rounds found with a phrase of the bank; named rightly
	outside                 int // calls outside the bank
	written, forced, missed int // of these: written down as clapped, taken for a phrase, not found
	close, closeTo          int // calls one stroke off a phrase that were written down; said to be close to it

	tiers, exact, near    int // of people of whom a tier can be known: stated, right, within one
	pairs, same, silent   int // with the undisturbed warm-up: both have a tier and the same; only that has one
	tierless, tiersStated int // recordings in which no tier may be stated; is
	off                   float64
	flat                  int // recordings of which a warning says that the recorder flattened them
}

func (t *sessionTally) merge(o *sessionTally) {
	t.n, t.truth, t.found, t.reported = t.n+o.n, t.truth+o.truth, t.found+o.found, t.reported+o.reported
	t.minutes += o.minutes
	t.inBank, t.right, t.outside = t.inBank+o.inBank, t.right+o.right, t.outside+o.outside
	t.written, t.forced, t.missed = t.written+o.written, t.forced+o.forced, t.missed+o.missed
	t.close, t.closeTo = t.close+o.close, t.closeTo+o.closeTo
	t.tiers, t.exact, t.near, t.off = t.tiers+o.tiers, t.exact+o.exact, t.near+o.near, t.off+o.off
	t.pairs, t.same, t.silent = t.pairs+o.pairs, t.same+o.same, t.silent+o.silent
	t.tierless, t.tiersStated = t.tierless+o.tierless, t.tiersStated+o.tiersStated
	t.flat += o.flat
}

const sessionHead = "%-17s %3s %5s  %5s %9s  %5s  %7s %6s %6s %5s  %5s %5s %5s %5s  %5s %5s  %4s  %6s\n"

// row leaves a place empty where nothing is counted.
func (t *sessionTally) row(name string) string {
	share := func(part, of int) string {
		if of == 0 {
			return "-"
		}
		return fmt.Sprintf("%.2f", float64(part)/float64(of))
	}
	f, off, stated := "-", "-", "-"
	if t.truth > 0 {
		f = fmt.Sprintf("%.3f", 2*float64(t.found)/max(1, float64(t.truth+t.reported)))
	}
	if t.tiers > 0 {
		off = fmt.Sprintf("%+.2f", t.off/float64(t.tiers))
	}
	if t.tierless > 0 {
		stated = fmt.Sprintf("%d of %d", t.tiersStated, t.tierless)
	}
	return fmt.Sprintf(sessionHead, name, fmt.Sprint(t.n), fmt.Sprint(t.truth), f,
		fmt.Sprintf("%.2f", float64(t.reported-t.found)/max(1e-9, t.minutes)), share(t.right, t.inBank),
		share(t.written, t.outside), share(t.forced, t.outside), share(t.missed, t.outside),
		share(t.closeTo, t.close), share(t.exact, t.tiers), share(t.near, t.tiers), off,
		share(t.tiers, t.n-t.tierless), share(t.same, t.pairs), share(t.silent, t.pairs),
		share(t.flat, t.n), stated)
}

func (t *sessionTally) judgeRounds(report *Report, truth synth.Truth, phrases []people.Phrase,
	say func(string, ...any),
) {
	answered := make([]bool, len(report.Rounds))
	nearest := func(at func(Round) (float64, bool), want float64, used []bool) int {
		best, apart := -1, 0.35
		for i, r := range report.Rounds {
			if x, ok := at(r); ok && (used == nil || !used[i]) && math.Abs(x-want) < apart {
				best, apart = i, math.Abs(x-want)
			}
		}
		return best
	}
	for k, want := range truth.Rounds {
		if want.Response == nil {
			continue
		}
		t.truth++
		i := nearest(func(r Round) (float64, bool) {
			if r.Response == nil {
				return 0, false
			}
			return r.Response.Start, true
		}, want.Response.Notes[0].Time, answered)
		if i >= 0 {
			answered[i] = true
			t.found++
		}
		if want.Phrase != "" {
			if i >= 0 {
				t.inBank++
				if got := report.Rounds[i]; got.Phrase != nil && *got.Phrase == want.Phrase {
					t.right++
				} else {
					say("  %s at %.2f taken for %s", want.Phrase, want.Call.Start, name(got))
				}
			}
			continue
		}
		t.outside++
		if i < 0 { // perhaps the call was heard and its answer was not
			i = nearest(func(r Round) (float64, bool) { return r.Call.Start, true }, want.Call.Notes[0], nil)
		}
		t.judgeOutside(report.Rounds, i, want, phrases[k], say)
	}
	for i, r := range report.Rounds {
		if r.Response != nil {
			t.reported++
			if !answered[i] {
				say("  invented %s at %.2f, confidence %.2f", name(r), r.Response.Start, r.Confidence)
			}
		}
	}
}

// judgeOutside looks at round i of the report, −1 for none, where a phrase was called that no bank
// has.
func (t *sessionTally) judgeOutside(rounds []Round, i int, want synth.Round, phrase people.Phrase,
	say func(string, ...any),
) {
	switch {
	case i < 0:
		t.missed++
		say("  a call outside the bank at %.2f is missed", want.Call.Start)
	case rounds[i].Phrase != nil:
		t.forced++
		say("  a call outside the bank at %.2f is taken for %s, confidence %.2f", want.Call.Start,
			*rounds[i].Phrase, rounds[i].Confidence)
	case writtenAs(rounds[i], phrase, want.Call.Tempo):
		t.written++
		if want.Meant != "" {
			t.close++
			if c := rounds[i].CloseTo; c != nil && c.Phrase == want.Meant {
				t.closeTo++
			}
		}
	default:
		say("  a call outside the bank at %.2f is written as %s", want.Call.Start, rounds[i].Notation)
	}
}

// writtenAs says whether a round is written down with the strokes of a phrase at their places, in
// seconds from the first, to within 60 ms: whatever beat was chosen.
func writtenAs(r Round, phrase people.Phrase, tempo float64) bool {
	meter, err := rhythm.ParseMeter(r.Meter)
	if err != nil {
		return false
	}
	parsed, err := rhythm.Parse(r.Notation, meter, r.Call.Tempo)
	if err != nil {
		return false
	}
	written := people.FromRhythm("", parsed)
	if len(written.Notes) != len(phrase.Notes) {
		return false
	}
	for k, n := range written.Notes {
		got := (n.Beat - written.Notes[0].Beat) * 60 / r.Call.Tempo
		if math.Abs(got-(phrase.Notes[k].Beat-phrase.Notes[0].Beat)*60/tempo) > 0.06 {
			return false
		}
	}
	return true
}
