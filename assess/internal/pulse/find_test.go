package pulse

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/assess/internal/tape"
	"clapladder.example/rhythm"
)

// warmUp is the sound of eight calls of the demo in a room, and when who clapped.
func warmUp(t *testing.T, seed uint64, phrases ...int) ([]float32, synth.Truth) {
	scene := synth.Scene{
		Seed: seed, Rate: onset.SampleRate, Group: people.Group{People: 14, Level: 6},
		Leader: synth.Leader{Sound: sounds.Clap}, Flow: synth.Flow{CallPause: 2.5},
		Background: synth.Background{NoiseDB: -40}, Room: acoustics.Room{RT60: 0.5},
	}
	for _, k := range phrases {
		p := synth.DemoPhrases()[k]
		phrase := people.FromRhythm(p.ID, rhythm.MustParse(p.Rhythm, p.Metre, p.Tempo))
		scene.Calls = append(scene.Calls, synth.Call{Phrase: phrase, Difficulty: float64(p.Tier)})
	}
	recording, err := synth.Generate(scene)
	require.NoError(t, err)
	return recording.Samples, recording.Truth
}

// instrument is one way to keep a beat: noise and a tone that die away.
type instrument struct{ tone, noise, seconds, hz, level float64 }

var instruments = map[string]instrument{
	"a foot":        {tone: 1, noise: 0.05, seconds: 0.03, hz: 220, level: 0.1},
	"a click":       {tone: 1, noise: 0.2, seconds: 0.008, hz: 2400, level: 0.12},
	"a soft shaker": {tone: 0, noise: 1, seconds: 0.015, level: 0.05},
}

// keep adds a beat that goes on from the first call to after the last answer, at the tempo of each
// call, and says when it was struck.
func (s instrument) keep(sound []float32, truth synth.Truth, seed uint64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 1))
	peak := 0.0
	for _, x := range sound {
		peak = max(peak, math.Abs(float64(x)))
	}
	var times []float64
	for i, r := range truth.Rounds {
		beat, until := 60/r.Call.Tempo, truth.Duration-0.5
		if i+1 < len(truth.Rounds) {
			until = truth.Rounds[i+1].Call.Start
		}
		for at := r.Call.Start; at < until-0.4*beat; at += beat {
			times = append(times, at+0.006*rng.NormFloat64())
		}
	}
	const rate = onset.SampleRate
	for _, at := range times {
		loud := s.level * peak * math.Pow(10, 0.035*rng.NormFloat64())
		for k := range int(8 * s.seconds * rate) {
			if i := int(at*rate) + k; i >= 0 && i < len(sound) {
				t := float64(k) / rate
				x := s.tone*math.Sin(2*math.Pi*s.hz*t) + s.noise*rng.NormFloat64()
				sound[i] += float32(loud * x * math.Exp(-t/s.seconds))
			}
		}
	}
	return times
}

func analyse(t *testing.T, sound []float32) *onset.Analysis {
	stream := tape.Tape(slices.Clone(sound))
	a, err := onset.Analyse(t.Context(), &stream)
	require.NoError(t, err)
	return a
}

// listen is what is heard of the sound: the analysis, and the rounds of the demo's phrases.
func listen(t *testing.T, sound []float32) (*onset.Analysis, []rounds.Round) {
	a := analyse(t, sound)
	var templates []rounds.Template
	for _, p := range synth.DemoPhrases() {
		templates = append(templates,
			rounds.Template{ID: p.ID, Phrase: rhythm.MustParse(p.Rhythm, p.Metre, p.Tempo)})
	}
	found, err := rounds.Find(context.Background(), a, templates, rounds.Options{})
	require.NoError(t, err)
	return a, found
}

func nearest(times []float64, t float64) float64 {
	least := math.Inf(1)
	for _, x := range times {
		least = min(least, math.Abs(x-t))
	}
	return least
}

func TestABeatThatGoesOnIsFoundAndNoClapWithIt(t *testing.T) {
	for name, instrument := range instruments {
		t.Run(name, func(t *testing.T) {
			sound, truth := warmUp(t, 5, 0, 2, 1, 4, 3, 5)
			struck := instrument.keep(sound, truth, 7)
			a, found := listen(t, sound)
			kept := Find(a, found)
			require.True(t, slices.IsSorted(kept))
			require.GreaterOrEqual(t, len(kept), leastTrain)
			for _, k := range kept {
				assert.Less(t, nearest(struck, a.Attacks[k].Time), 0.03, "at %.2f s", a.Attacks[k].Time)
			}
			// where nobody claps the beat is heard, and must be gone
			heard, left := 0, 0
			for i, x := range a.Attacks {
				alone := nearest(struck, x.Time) < 0.02 &&
					!slices.ContainsFunc(truth.Strokes, func(s synth.Stroke) bool {
						return math.Abs(s.Time-x.Time) < 0.15
					})
				if alone {
					heard++
					if _, gone := slices.BinarySearch(kept, i); !gone {
						left++
					}
				}
			}
			assert.Greater(t, heard, 10)
			assert.LessOrEqual(t, float64(left), 0.15*float64(heard))
		})
	}
}

func TestWhereNobodyKeepsTheBeatNothingIsTaken(t *testing.T) {
	for name, phrases := range map[string][]int{
		"plain beats only": {0, 0, 0, 0, 0, 0, 0, 0},
		"different calls":  {0, 2, 1, 4, 3, 5},
	} {
		t.Run(name, func(t *testing.T) {
			for seed := range uint64(2) {
				sound, _ := warmUp(t, 11+seed, phrases...)
				assert.Empty(t, Find(listen(t, sound)))
			}
		})
	}
}

func TestSilenceKeepsNoBeat(t *testing.T) {
	assert.Empty(t, Find(analyse(t, make([]float32, onset.SampleRate)), nil))
}
