package synth

import (
	"math"
	"math/rand/v2"
	"slices"

	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// What a real session holds beside its rounds. Everything here draws from random streams of its own,
// so that the same warm-up without it stays as it is.

// listed is the ID of a phrase if the bank of whoever listens has it, else "".
func (p *plan) listed(id string) string {
	if slices.Contains(p.scene.Outside, id) {
		return ""
	}
	return id
}

// around lays out stretches before or after the warm-up.
func (p *plan) around(stretches []Stretch, name string) {
	rng := signal.Stream(p.scene.Seed, name)
	for _, s := range stretches {
		span := signal.Span{Start: rounded(p.now), End: rounded(p.now + s.Seconds)}
		p.truth.Around = append(p.truth.Around, Around{s.Kind, span})
		switch s.Kind {
		case Drumming:
			p.drum(span, rng)
		case Applauding:
			p.clapFreely(span, rng)
		case Talking:
			p.truth.Talk = append(p.truth.Talk, signal.Span{Start: span.Start + 0.2, End: span.End - 0.2})
		}
		p.now += s.Seconds + signal.Between(rng, 0.8, 2.5)
	}
}

// goingOn lists the stretches of a kind.
func (p *plan) goingOn(kind Kind) (spans []signal.Span) {
	for _, a := range p.truth.Around {
		if a.Kind == kind {
			spans = append(spans, a.Span)
		}
	}
	return spans
}

// drum lets everybody play on together: some clap, some have drums, each a pattern of a bar that
// changes now and then.
func (p *plan) drum(span signal.Span, rng *rand.Rand) {
	beat := signal.Between(rng, 0.42, 0.7)
	for i := range len(p.people) + 1 {
		jitter := p.scene.Leader.Jitter
		if i > 0 {
			jitter = p.people[i-1].Jitter
		}
		sound := []sounds.Kind{
			sounds.Clap, sounds.Clap, sounds.Drum, sounds.Drum, sounds.Bass, sounds.Sticks,
		}[rng.IntN(6)]
		pattern := groovePatterns[rng.IntN(len(groovePatterns))]
		for bar := 0; span.Start+float64(4*bar)*beat < span.End; bar++ {
			if rng.IntN(8) == 0 {
				pattern = groovePatterns[rng.IntN(len(groovePatterns))]
			}
			for _, at := range pattern {
				time := span.Start + (float64(4*bar)+at)*beat + jitter*signal.Clamp(rng.NormFloat64(), -3, 3)
				if time < span.End && rng.IntN(10) > 0 {
					p.loose(time, i, sound, 2*rng.NormFloat64(), Trying)
				}
			}
		}
	}
}

// applaud lets everybody applaud after a round.
func (p *plan) applaud(seconds float64) {
	if seconds == 0 {
		return
	}
	rng := signal.Stream(p.scene.Seed+uint64(len(p.truth.Rounds)), "applause")
	start := p.now + signal.Between(rng, 0.25, 0.7)
	span := signal.Span{Start: rounded(start), End: rounded(start + seconds)}
	p.truth.Applause = append(p.truth.Applause, span)
	p.clapFreely(span, rng)
}

// clapFreely is applause: everybody claps three to five times a second, each at a rate of their own
// (spontaneous applause is fastest at about four a second; common knowledge, no source), and not
// everybody to the end.
func (p *plan) clapFreely(span signal.Span, rng *rand.Rand) {
	length := span.End - span.Start
	for i := range p.people {
		every := 1 / signal.Between(rng, 2.8, 5)
		at := span.Start + signal.Between(rng, 0, math.Min(0.8, 0.3*length))
		end := span.End - signal.Between(rng, 0, 0.35*length)
		for ; at < end; at += every * (1 + 0.08*signal.Clamp(rng.NormFloat64(), -3, 3)) {
			p.loose(at, i+1, sounds.Clap, 2*rng.NormFloat64(), Applause)
		}
	}
}

// loose adds a stroke that belongs to no round.
func (p *plan) loose(at float64, person int, sound sounds.Kind, db float64, role Role) {
	p.add(Stroke{Time: at, Person: person, Sound: sound, LevelDB: rounded(db), Role: role, Round: -1})
}

// straggle lets one person clap the phrase again, alone, as soon as the answer is over.
func (p *plan) straggle(round int, c Call) {
	a := p.answers[round]
	if a == nil || !c.Straggler {
		return
	}
	rng := signal.Stream(p.scene.Seed+uint64(round), "straggler")
	i := rng.IntN(len(p.people))
	start := a.clock + a.called.Length*a.perBeat
	for _, n := range c.Phrase.Notes {
		at := start + n.Beat*a.perBeat + p.people[i].Jitter*signal.Clamp(rng.NormFloat64(), -3, 3)
		p.loose(at, i+1, n.Sound, 3, Alone)
	}
	p.now = start + a.called.Length*a.perBeat
}

// talkOver lets the leader speak over every second answer.
func (p *plan) talkOver(round int) {
	if a := p.answers[round]; a != nil && p.scene.Flow.TalkOver && round%2 == 1 {
		end := a.clock + a.called.Length*a.perBeat
		p.truth.Talk = append(p.truth.Talk, signal.Span{Start: rounded(a.clock), End: rounded(end)})
	}
}

// keepPulse lets the leader's foot or a low drum go on with the beat from the start of every call to
// the end of its answer, in which it follows the group.
func (p *plan) keepPulse(k Pulse) {
	if k.DB == 0 {
		return
	}
	rng := signal.Stream(p.scene.Seed, "pulse")
	keep := func(start, perBeat, end float64) {
		for b := 0.0; start+b*perBeat < end-0.5*perBeat; b++ {
			at := start + b*perBeat + p.scene.Leader.Jitter*signal.Clamp(rng.NormFloat64(), -2.5, 2.5) +
				p.scene.Leader.Distance/signal.SoundSpeed
			p.loose(at, 0, k.Sound, k.DB+0.7*signal.Clamp(rng.NormFloat64(), -2, 2), Keeping)
		}
	}
	for i, r := range p.truth.Rounds {
		perBeat := 60 / r.Call.Tempo
		due := r.Call.End + p.scene.Flow.AnswerPause
		if r.Recalled {
			keep(r.Call.Start, perBeat, due)
		}
		if a := p.answers[i]; a != nil {
			keep(a.clock, a.perBeat, a.clock+a.called.Length*a.perBeat)
		} else if r.Recalled {
			keep(due, perBeat, due+r.Call.End-r.Call.Start)
		}
	}
}

// movePhone picks the moment between two calls, half way, at which somebody moves the phone.
func (p *plan) movePhone(phone acoustics.Phone) {
	if n := len(p.truth.Rounds); phone.MovedDB > 0 && n > 1 {
		p.truth.Moved = rounded(math.Max(p.truth.Rounds[n/2].Call.Start-0.2, 0))
	}
}
