package synth

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/rhythm"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Laws that hold in every warm-up.
func TestTruthIsConsistentInAllClasses(t *testing.T) {
	for _, scene := range Suite(11, 64, Untouched, testBank()) {
		checkTruth(t, planned(t, scene))
	}
	for i, class := range Sessions() {
		checkTruth(t, planned(t, class.Scene(uint64(i), testBank())))
	}
}

func checkTruth(t *testing.T, p *plan) {
	truth := p.truth
	name := truth.Class
	require.True(t, slices.IsSortedFunc(truth.Strokes, func(a, b Stroke) int {
		if a.Time < b.Time {
			return -1
		}
		return 0
	}), name)
	for _, s := range truth.Strokes {
		assert.True(t, s.Time >= 0 && s.Time < truth.Duration, "%s: stroke at %g", name, s.Time)
		assert.True(t, s.Person >= 0 && s.Person <= truth.People, name)
		assert.True(t, s.Round >= -1 && s.Round < len(truth.Rounds), name)
		assert.InDelta(t, 0, math.Remainder(s.Time*float64(truth.Rate), 1), 1e-6, "%s: on a sample", name)
		for _, q := range truth.Quiet {
			assert.False(t, s.Time > q.Start && s.Time < q.End,
				"%s: stroke at %g in a quiet span", name, s.Time)
		}
	}
	before := 0.0
	for _, r := range truth.Rounds {
		assert.GreaterOrEqual(t, r.Attempt, 1)
		if r.Recalled {
			assert.GreaterOrEqual(t, r.Call.Start, before-1e-4, "%s: calls come after answers", name)
		}
		before = r.Call.End
		if r.Response == nil {
			continue
		}
		checkResponse(t, p, r, name)
		before = r.Response.Due
	}
}

func checkResponse(t *testing.T, p *plan, r Round, name string) {
	truth, q := p.truth, r.Response
	assert.GreaterOrEqual(t, q.Due, r.Call.End-1e-4, name)
	assert.InDelta(t, q.Lag, q.Start-q.Due, 2e-5, name)
	assert.InDelta(t, r.Call.Tempo*q.TempoRatio, q.Tempo, 0.01, name)
	assert.Len(t, q.Notes, len(r.Call.Notes), name)
	wrong := q.Answered != r.Phrase
	if wrong {
		assert.Zero(t, q.Got, name)
	}
	assert.InDelta(t, float64(q.Got)/float64(truth.People), q.Share, 1e-5)
	for _, n := range q.Notes {
		if p.scene.Group.Habits.Slip == 0 {
			assert.GreaterOrEqual(t, n.Participation, q.Share-1e-5, "%s: who got it clapped every note", name)
		}
		assert.LessOrEqual(t, n.Participation, 1.0, name)
		assert.GreaterOrEqual(t, n.Energy, 0.0, name)
		assert.Equal(t, n.Participation == 0, n.Energy == 0, name)
		expected := q.Start + n.Beat*60/q.Tempo
		assert.InDelta(t, expected, n.Time, 0.25, "%s: note where the group's pulse puts it", name)
	}
	for _, x := range q.Extras {
		assert.True(t, x.Participation > 0 && x.Participation <= 1, name)
	}
	for _, m := range q.Mistakes {
		assert.True(t, m.Share > 0 && m.Share <= 1-q.Share+1e-5 || wrong, "%s: %v", name, m)
	}
}

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
			a.attempts[i].Strokes = append(a.attempts[i].Strokes, people.Played{Beat: b})
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
