package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
