package assess

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"sync"
	"testing"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/warmups"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
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

// sessionJob is one warm-up of a class with the same undisturbed, if there is one.
type sessionJob struct {
	class   warmups.Preset
	with    synth.Scene
	without *synth.Scene
}

func sessionJobs(
	class warmups.Preset, each int, split warmups.Split, items []warmups.Item,
) (jobs []sessionJob) {
	for i := range each {
		seed := warmups.SessionSeed(1, i, split)
		job := sessionJob{class: class, with: class.Scene(seed, items)}
		if s, ok := class.Without(seed, items); ok {
			s.Class = ""
			job.without = &s
		}
		jobs = append(jobs, job)
	}
	return jobs
}

// sessionListener hears scenes with the starter bank and remembers the tiers of undisturbed ones.
type sessionListener struct {
	phrases *bank.Bank
	highest int

	mutex sync.Mutex
	tiers map[string]*int
}

func (l *sessionListener) hear(b *testing.B, scene synth.Scene) (*Report, synth.Truth) {
	recording, err := synth.Generate(scene)
	if err != nil {
		b.Error(err)
		return &Report{}, synth.Truth{}
	}
	var file bytes.Buffer
	if err := signal.WriteWAV(&file, recording.Samples, recording.Rate); err != nil {
		b.Error(err)
	}
	phrases := *l.phrases
	phrases.Entries = slices.DeleteFunc(slices.Clone(phrases.Entries),
		func(e bank.Entry) bool { return slices.Contains(scene.Outside, e.ID) })
	listed := &phrases
	if len(phrases.Entries) == 0 {
		listed = nil
	}
	o := Options{Repertoire: bank.StarterRepertoire()}
	report, err := Recording(context.Background(), &file, listed, o)
	if err != nil {
		b.Error(err)
		return &Report{}, recording.Truth
	}
	return report, recording.Truth
}

// undisturbed is the tier stated of a warm-up without what makes its class.
func (l *sessionListener) undisturbed(b *testing.B, scene synth.Scene) *int {
	key := fmt.Sprintf("%+v", scene)
	l.mutex.Lock()
	tier, known := l.tiers[key]
	l.mutex.Unlock()
	if known {
		return tier
	}
	report, _ := l.hear(b, scene)
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.tiers[key] = report.Group.Tier
	return report.Group.Tier
}

func (l *sessionListener) judge(b *testing.B, job sessionJob, say func(string, ...any)) *sessionTally {
	report, truth := l.hear(b, job.with)
	t := &sessionTally{n: 1, minutes: truth.Duration / 60}
	if report.Recording.Flattened != nil {
		t.flat = 1
	}
	t.judgeRounds(report, truth, l.phrasesCalled(job.with), say)
	tier := report.Group.Tier
	if job.class.Tierless || job.class.Mute {
		t.tierless = 1
		if tier != nil {
			t.tiersStated = 1
			say("  tier %d stated", *tier)
		}
		return t
	}
	if tier != nil {
		off := *tier - truth.ComfortTier(report.Group.Comfort, l.highest)
		t.tiers, t.off = 1, float64(off)
		if off == 0 {
			t.exact = 1
		}
		if off >= -1 && off <= 1 {
			t.near = 1
		} else {
			say("  tier %d is off by %+d", *tier, off)
		}
	}
	if job.without == nil {
		return t
	}
	if plain := l.undisturbed(b, *job.without); plain != nil {
		t.pairs = 1
		switch {
		case tier == nil:
			t.silent = 1
		case *tier == *plain:
			t.same = 1
		default:
			say("  tier %d, undisturbed %d", *tier, *plain)
		}
	}
	return t
}

// phrasesCalled are the phrases as clapped, by round.
func (l *sessionListener) phrasesCalled(s synth.Scene) (out []people.Phrase) {
	for _, c := range s.Calls {
		for range max(1, c.Attempts) {
			out = append(out, c.Phrase)
		}
	}
	return out
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

// benchSessions prints the table of sessions: SESSIONS of each class (6).
func benchSessions(b *testing.B, out io.Writer, split warmups.Split) {
	phrases, items := suiteBank()
	l := &sessionListener{phrases: phrases, tiers: map[string]*int{}}
	for _, g := range patterns.GradeBank(difficulty.DefaultModel(), phrases) {
		l.highest = max(l.highest, g.Tier)
	}
	fmt.Fprintf(out, sessionHead, "class", "n", "true", "F", "false/min", "right", "written", "forced",
		"missed", "close", "tier", "+-1", "off", "given", "same", "none", "flat",
		"stated")
	for _, class := range warmups.Sessions() {
		if !asked(class.Name) {
			continue
		}
		jobs := sessionJobs(class, environment("SESSIONS", 6), split, items)
		results, said := make([]*sessionTally, len(jobs)), make([]string, len(jobs))
		var wait sync.WaitGroup
		turns := make(chan struct{}, 2)
		for i, job := range jobs {
			turns <- struct{}{}
			wait.Go(func() {
				defer func() { <-turns }()
				said[i] = fmt.Sprintf("%s seed %d\n", class.Name, job.with.Seed)
				results[i] = l.judge(b, job,
					func(format string, args ...any) { said[i] += fmt.Sprintf(format+"\n", args...) })
			})
		}
		wait.Wait()
		var sum sessionTally
		for i, r := range results {
			sum.merge(r)
			if os.Getenv("VERBOSE") != "" {
				fmt.Print(said[i])
			}
		}
		if sum.n > 0 {
			fmt.Fprint(out, sum.row(class.Name))
		}
	}
}

// sessionsAbout stands above the table.
const sessionsAbout = `
Sessions: what real sessions hold besides. All classes share the same ordinary warm-ups.

right     of the rounds found, with the phrase of the bank that was called
written   calls that the bank lacks: written down stroke for stroke; forced: taken for a phrase of
          the bank; missed: not found
close     of the calls so written that are one stroke off the phrase meant: said to be close to it
off       tiers stated minus true ones, mean; given: recordings in which a tier is stated
flat      recordings with a warning that the recorder flattened them
same      the tier is that of the same people undisturbed; none: only there a tier is stated
stated    tiers stated where fewer than two people answer

`
