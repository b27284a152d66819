package synth

import (
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// speakers is how many voices a group that says the words has at most.
const speakers = 10

// said are the spans of the calls, or of the answers, whose words are said, by round; an empty span
// where there is none.
func (p *plan) said(answers bool) []signal.Span {
	spans := make([]signal.Span, len(p.truth.Rounds))
	for i, r := range p.truth.Rounds {
		if a := p.answers[i]; answers && a != nil {
			spans[i] = signal.Span{Start: rounded(a.clock), End: rounded(a.clock + a.called.Length*a.perBeat)}
		} else if !answers && r.Recalled {
			spans[i] = signal.Span{Start: r.Call.Start, End: r.Call.End}
		}
	}
	return spans
}

// listWords puts what is said into the truth.
func (p *plan) listWords(w Words) {
	for i := range p.truth.Rounds {
		for _, part := range []struct{ on, answers bool }{{w.Leader, false}, {w.Group, true}} {
			if s := p.said(part.answers)[i]; part.on && s.End > s.Start {
				p.truth.Words = append(p.truth.Words, s)
			}
		}
	}
}

// words writes what the leader or the group says of calls or answers.
func (m *mixer) words(answers bool) func(rng *rand.Rand) []signal.Span {
	return func(rng *rand.Rand) []signal.Span {
		voices, spread := []*sounds.Voice{sounds.NewVoice(m.plan.scene.Rate, rng)}, 0.012
		if answers {
			spread = 0.03
			for len(voices) < min(speakers, len(m.plan.people)) {
				voices = append(voices, sounds.NewVoice(m.plan.scene.Rate, rng))
			}
		}
		spans := m.plan.said(answers)
		for i, span := range spans {
			if span.End <= span.Start {
				continue
			}
			phrase := m.plan.phrases[i]
			perBeat := (span.End - span.Start) / phrase.Length
			words := sounds.Words(len(phrase.Notes), signal.Stream(m.plan.scene.Seed, "words of "+phrase.ID))
			starts, lengths := make([]float64, len(words)), make([]float64, len(words))
			for i, n := range phrase.Notes {
				next := phrase.Length
				if i+1 < len(phrase.Notes) {
					next = phrase.Notes[i+1].Beat
				}
				starts[i], lengths[i] = n.Beat*perBeat, (next-n.Beat)*perBeat
			}
			for _, v := range voices {
				late := 0.0
				if answers {
					late = people.HabitMean + people.HabitSD*signal.Clamp(rng.NormFloat64(), -2, 2)
				}
				v.SayAll(m.dry, span.Start+late, starts, lengths, spread, words)
			}
		}
		return spans
	}
}

// strokePower is the mean power of what was mixed so far over spans, relative to the reference, in
// dB.
func (m *mixer) strokePower(spans []signal.Span) float64 {
	sum, n := 0.0, 0
	for _, s := range spans {
		part := m.samples(m.mix, s)
		sum += signal.Power(part) * float64(len(part))
		n += len(part)
	}
	if sum == 0 {
		return 0
	}
	return 10 * math.Log10(sum/float64(n)/m.reference)
}
