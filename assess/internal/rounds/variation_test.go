package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/activity"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/rhythm"
)

// played are the times of a phrase's strokes with bar 1 at a time.
func played(p rhythm.Phrase, start float64) []float64 {
	var out []float64
	for _, s := range p.Strokes() {
		out = append(out, start+p.Seconds(s.Step))
	}
	return out
}

// strokesOf is a look at strokes of a known leader in silence, at times in seconds.
func strokesOf(times []float64, templates ...Template) *pass {
	attacks := make([]onset.Attack, len(times))
	odds := make([]float64, len(times))
	for i, t := range times {
		attacks[i], odds[i] = onset.Attack{Time: t}, oddsLimit
	}
	seconds := times[len(times)-1] + 2
	quiet := activity.Smoothed(make([]float32, int(seconds/activity.Step)), 1)
	p := firstPass(&recording{
		attacks: attacks, level: make([]float64, len(times)), single: odds,
		nearest: onset.NewNearest(attacks, seconds), everyone: bands{quiet, quiet}, seconds: seconds,
	}, newBook(templates, 0))
	p.leader, p.reads = leader{odds: odds, known: true, clap: 1, full: 1}, true
	p.final = true
	return p
}

func TestAPhraseWithOneStrokeWrongIsWrittenDownAsItWasClapped(t *testing.T) {
	const bank = "xx x xx x | x x x ."
	template := Template{"phrase", rhythm.MustParse(bank, "4/4", 96)}
	for _, test := range []struct{ law, clapped, want string }{
		{"one less", "xx x x x | x x x .", "xx x x x | x x x ."},
		{"one more", "xx x xx x | x xx x .", "xx x xx x | x xx x ."},
		{"one moved by a sixteenth", "xx x x..x x | x x x .", "xx x x..x x | x x x ."},
		{"one in another place", "xx x x xx | x x x .", "xx x x xx | x x x ."},
		{"the phrase itself is no variation", bank, ""},
		{"two less is another rhythm", "x x x x | x x x .", ""},
		{"two more is another rhythm", "xx xx xx xx | x x x .", ""},
	} {
		t.Run(test.law, func(t *testing.T) {
			p := strokesOf(played(rhythm.MustParse(test.clapped, "4/4", 96), 1), template)
			m := newTestMatcher(p)
			var got []string
			for _, c := range m.from(0) {
				if varied, ok := m.variation(p.timed(c)); ok {
					assert.Equal(t, -1, varied.template, "it is not called by the phrase's name")
					assert.False(t, varied.guessed, "its bars are those of the phrase")
					assert.Len(t, varied.met(), len(varied.phrase.Strokes()), "every stroke is a note")
					got = append(got, varied.phrase.String())
				}
			}
			if test.want == "" {
				assert.Empty(t, got)
			} else {
				assert.Contains(t, got, test.want)
			}
		})
	}
}

func TestClapsOfTheAnswerBeforeDoNotSpeakAgainstACall(t *testing.T) {
	phrase := rhythm.MustParse("x x x x", "4/4", 60)
	p := strokesOf([]float64{1, 2, 3, 4, 8.4, 9, 10, 11, 12})
	first := proposal{
		phrase: phrase, matched: []int{0, 1, 2, 3}, earned: 20, start: 1, end: 9,
		answer: &Answer{Match: 0.9}, answered: 5, from: 5, to: 9,
	}
	second := proposal{phrase: phrase, matched: []int{5, 6, 7, 8}, earned: 20, start: 9, end: 13}
	chosen := p.choose([]proposal{first, second}, constraints{})
	require.Len(t, chosen, 2)
	assert.InDelta(t, 20, chosen[1].earned, 1e-9, "a late clap of the group's is accounted for")
	first.answer, first.answered, first.end = nil, 0, 5
	chosen = p.choose([]proposal{first, second}, constraints{})
	require.Len(t, chosen, 2)
	assert.Less(t, chosen[1].earned, 15.0, "without an answer the stroke is the leader's")
}
