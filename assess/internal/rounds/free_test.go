package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// without is the demo's phrases but for some.
func without(ids ...string) []Template {
	var out []Template
	for _, t := range demoTemplates() {
		left := true
		for _, id := range ids {
			left = left && t.ID != id
		}
		if left {
			out = append(out, t)
		}
	}
	return out
}

func TestACallOutsideTheBankIsNeverForcedOntoAnotherPhrase(t *testing.T) {
	w := seamless()
	for _, missing := range w.truth.Rounds[1:] {
		t.Run(missing.Phrase, func(t *testing.T) {
			templates := without(missing.Phrase)
			found, err := Find(t.Context(), w.analysis, templates, Options{})
			require.NoError(t, err)
			for _, r := range found {
				if r.Call.Start() < missing.Call.Start-0.2 || r.Call.Start() > missing.Call.Start+0.2 {
					continue
				}
				assert.Equal(t, -1, r.Template, "written down, not %v", r.Call.Phrase)
				assert.Len(t, r.Call.Phrase.Strokes(), len(missing.Call.Notes))
			}
		})
	}
}

func TestAShortCallOfTheLeadersIsProposedHoweverOddItIs(t *testing.T) {
	for _, test := range []struct{ law, notation, meter string }{
		{"few strokes off the beat", "x .x . x x", "5/4"},
		{"a rest of more than a bar", ".x . . | . xxx x", "3/4"},
		{"three strokes and silence", "x . .x. x. .", "5/4"},
		{"plain ones need no trouble", "x x x x", "4/4"},
	} {
		t.Run(test.law, func(t *testing.T) {
			times := played(rhythm.MustParse(test.notation, test.meter, 92), 1)
			p := strokesOf(times)
			for k := range p.attacks { // no leader is a machine
				p.attacks[k].Time += []float64{0.012, -0.015, 0.01, -0.012}[k%4]
				p.level[k] = []float64{-1, 1.7, -1.9, 0.4}[k%4]
			}
			m := newTestMatcher(p)
			proposed := false
			for _, strokes := range p.runsFrom(0) {
				call, ok := m.freeCall(strokes)
				proposed = proposed || ok && len(call.matched) == len(times)
			}
			assert.True(t, proposed)
		})
	}
}

func TestWithoutAnyBankTheRoundsAreFoundAllTheSame(t *testing.T) {
	w := seamless()
	found, err := Find(t.Context(), w.analysis, nil, Options{})
	require.NoError(t, err)
	require.Len(t, found, len(w.truth.Rounds))
	for i, want := range w.truth.Rounds {
		assert.Equal(t, -1, found[i].Template)
		assert.InDelta(t, want.Call.Notes[0], found[i].Call.Onsets[0], 0.03)
		assert.Len(t, found[i].Call.Onsets, len(want.Call.Notes))
		assert.NotNil(t, found[i].Answer)
	}
}
