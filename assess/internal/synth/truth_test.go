package synth

import (
	"encoding/json"
	"slices"
	"testing"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/rhythm"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEnergyIsParticipationOnAverage(t *testing.T) {
	sum, part, n := 0.0, 0.0, 0.0
	for seed := range uint64(20) {
		s := hallScene()
		s.Seed = seed
		for _, r := range planned(t, s).truth.Rounds {
			for _, note := range r.Response.Notes {
				sum, part, n = sum+note.Energy, part+note.Participation, n+1
			}
		}
	}
	assert.InDelta(t, part/n, sum/n, 0.02)
}

// A phrase on which everybody fails in one known way.
func TestParticipationCountsTheRightNotes(t *testing.T) {
	phrase := people.FromRhythm("p", rhythm.MustParse("x xx . x", "4/4", 96))
	p := planned(t, Scene{
		Seed: 1, Group: people.Group{People: 4}, Calls: []Call{{Phrase: phrase, Difficulty: -20}},
	})
	a := p.answers[0]
	// Person 1 drops the off-beat and claps twice at the end, person 2 fills the rest, person 3 is
	// silent, person 4 got it.
	p.truth.Strokes = nil
	for i, beats := range [][]float64{{0, 1, 3, 3.15}, {0, 1, 1.5, 2, 3}, {}, {0, 1, 1.5, 3}} {
		a.attempts[i] = people.Attempt{Got: i == 3}
		for _, b := range beats {
			a.attempts[i].Strokes = append(a.attempts[i].Strokes, people.Note{Beat: b})
			p.truth.Strokes = append(p.truth.Strokes,
				Stroke{Time: a.clock + b*a.perBeat, Person: i + 1, Role: InAnswer})
		}
	}
	slices.SortStableFunc(p.truth.Strokes, func(x, y Stroke) int {
		if x.Time < y.Time {
			return -1
		}
		return 0
	})
	r := p.truth.Rounds[0].Response
	*r = Response{Due: r.Due, Tempo: r.Tempo, TempoRatio: r.TempoRatio}
	p.measure(0, func(sounds.Kind) []float64 { return []float64{0.1, 0.2, 0.3, 0.4} })

	var parts []float64
	for _, n := range r.Notes {
		parts = append(parts, n.Participation)
	}
	assert.Equal(t, []float64{0.75, 0.75, 0.5, 0.75}, parts)
	require.Len(t, r.Extras, 2)
	assert.InDelta(t, a.clock+3.15*a.perBeat, r.Extras[1].Time, 1e-4,
		"a second clap of one person on a note is an extra")
	assert.Equal(t, 0.25, r.Extras[0].Participation)
	assert.InDelta(t, a.clock+2*a.perBeat, r.Extras[0].Time, 1e-4, "the filled rest")
	assert.Equal(t, 1, r.Got)
	assert.InDelta(t, 0.2/meanEnergy(p.people[1].Variation), r.Extras[0].Energy, 1e-4)
}

func TestPhraseGetsEasierWhenTriedAgain(t *testing.T) {
	phrase := people.FromRhythm("p", rhythm.MustParse("xx .x xx .", "4/4", 96))
	phrase.ID = "again"
	call := Call{Phrase: phrase, Difficulty: 3, Attempts: 2}
	p := planned(t, Scene{
		Seed: 2, Group: people.Group{People: 200, Mix: people.Varied}, Calls: []Call{call, call},
	})
	require.Len(t, p.truth.Rounds, 4)
	for i, r := range p.truth.Rounds {
		assert.Equal(t, i+1, r.Attempt)
		assert.Equal(t, i%2 == 0, r.Recalled)
		if i > 0 {
			assert.Greater(t, r.Response.Share, p.truth.Rounds[i-1].Response.Share)
		}
	}
}

func TestTruthAsJSONNamesUnits(t *testing.T) {
	truth := planned(t, shortScene(1)).truth
	truth.Strokes = nil // which are most of it
	data, err := json.Marshal(truth)
	require.NoError(t, err)
	assert.Less(t, len(data), 20000)
	var back map[string]any
	require.NoError(t, json.Unmarshal(data, &back))
	for _, key := range []string{
		"seed", "sample_rate_hz", "duration_s", "people", "mix", "level",
		"level_sd", "rounds", "quiet",
	} {
		assert.Contains(t, back, key)
	}
	assert.NotContains(t, back, "strokes")
	assert.Equal(t, "varied", back["mix"])
	round := back["rounds"].([]any)[0].(map[string]any)
	assert.Equal(t, "three-bells", round["phrase"])
	response := round["response"].(map[string]any)
	for _, key := range []string{"start_s", "tempo_bpm", "lag_s", "spread_s", "share", "notes"} {
		assert.Contains(t, response, key)
	}
}
