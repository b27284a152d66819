package assess

import (
	"bytes"
	"context"
	"fmt"
	"io"
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
)

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
