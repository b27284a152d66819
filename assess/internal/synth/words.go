package synth

import (
	"math"
	"math/rand/v2"
)

// consonant starts or ends a syllable.
type consonant uint8

const (
	open consonant = iota // none
	stop                  // p, t, k
	hush                  // s, sh, f
	hum                   // m, n, l: the vowel swells
)

// syllable is one of the words of a phrase.
type syllable struct {
	start, end consonant
	vowel      [3]float64
}

// text is the words of a phrase, the same for everybody who says them: a syllable a stroke.
func text(p Phrase, rng *rand.Rand) []syllable {
	out := make([]syllable, len(p.Notes))
	for i := range out {
		out[i] = syllable{
			start: []consonant{open, stop, stop, stop, hush, hush, hum, hum}[rng.IntN(8)],
			end:   []consonant{open, open, open, stop, hush, hum}[rng.IntN(6)],
			vowel: vowels[rng.IntN(len(vowels))],
		}
	}
	return out
}

// say adds a syllable whose vowel begins at a sample: what comes before the vowel comes before the
// beat, as people who speak in time do it (the beat of a syllable lies near the start of its vowel;
// Morton, Marcus & Frankish 1976, from memory).
func (v *voice) say(dst []float32, at int, seconds, loud float64, s syllable) {
	before := func(x float64) int { return max(0, at-int(x*v.fs)) }
	switch s.start {
	case stop:
		v.noise(dst, before(0.018), len(dst), between(v.rng, 0.01, 0.02), 0.6*loud, 0.05)
	case hush:
		length := between(v.rng, 0.07, 0.12)
		v.noise(dst, before(length), len(dst), length, 0.3*loud, 0.4)
	}
	at = v.vowel(dst, at, len(dst), math.Min(seconds, 0.3), loud, s.vowel)
	switch s.end {
	case stop:
		v.noise(dst, at+int(0.03*v.fs), len(dst), 0.012, 0.4*loud, 0.05)
	case hush:
		v.noise(dst, at, len(dst), between(v.rng, 0.06, 0.1), 0.25*loud, 0.3)
	}
}

// speakers is how many voices a group that says the words has at most.
const speakers = 10

// sayAll adds the words of a phrase in the rhythm of its notes, each a little off the beat.
func (v *voice) sayAll(dst []float32, start, perBeat, spread float64, p Phrase, words []syllable) {
	for i, n := range p.Notes {
		next := p.Length
		if i+1 < len(p.Notes) {
			next = p.Notes[i+1].Beat
		}
		at := start + n.Beat*perBeat + spread*clamp(v.rng.NormFloat64(), -2, 2)
		v.say(dst, max(0, int(at*v.fs)), (next-n.Beat)*perBeat, 1+0.15*v.rng.NormFloat64(), words[i])
	}
}

// said are the spans of the calls, or of the answers, whose words are said, by round; an empty span
// where there is none.
func (p *plan) said(answers bool) []Span {
	spans := make([]Span, len(p.truth.Rounds))
	for i, r := range p.truth.Rounds {
		if a := p.answers[i]; answers && a != nil {
			spans[i] = Span{rounded(a.clock), rounded(a.clock + a.called.Length*a.perBeat)}
		} else if !answers && r.Recalled {
			spans[i] = Span{r.Call.Start, r.Call.End}
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
func (m *mixer) words(answers bool) func(rng *rand.Rand) []Span {
	return func(rng *rand.Rand) []Span {
		voices, spread := []*voice{newVoice(m.plan.scene.Rate, rng)}, 0.012
		if answers {
			spread = 0.03
			for len(voices) < min(speakers, len(m.plan.people)) {
				voices = append(voices, newVoice(m.plan.scene.Rate, rng))
			}
		}
		spans := m.plan.said(answers)
		for i, span := range spans {
			if span.End <= span.Start {
				continue
			}
			phrase := m.plan.phrases[i]
			perBeat := (span.End - span.Start) / phrase.Length
			words := text(phrase, stream(m.plan.scene.Seed, "words of "+phrase.ID))
			for _, v := range voices {
				late := 0.0
				if answers {
					late = habitMean + habitSD*clamp(rng.NormFloat64(), -2, 2)
				}
				v.sayAll(m.dry, span.Start+late, perBeat, spread, phrase, words)
			}
		}
		return spans
	}
}

// strokePower is the mean power of what was mixed so far over spans, relative to the reference, in
// dB.
func (m *mixer) strokePower(spans []Span) float64 {
	sum, n := 0.0, 0
	for _, s := range spans {
		part := m.samples(m.mix, s)
		sum += power(part) * float64(len(part))
		n += len(part)
	}
	if sum == 0 {
		return 0
	}
	return 10 * math.Log10(sum/float64(n)/m.reference)
}
