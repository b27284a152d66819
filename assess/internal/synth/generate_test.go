package synth

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// testRate keeps tests short; nothing they look at needs more.
const testRate = 8000

// shortScene is a small warm-up with a bit of everything.
func shortScene(seed uint64) Scene {
	s := Scene{
		Seed: seed, Rate: testRate, Room: acoustics.Room{RT60: 0.5},
		Group: people.Group{People: 12, Level: 4, Mix: people.Varied},
		Background: Background{
			NoiseDB: -25, Voices: 2, TalkDB: -18, Laughs: 1, Bumps: 2,
			Music: true, MusicDB: -22,
		},
		Flow:  Flow{Praise: true, CountIn: Spoken, TalkBefore: 1.5, CallPause: 1.6},
		Phone: acoustics.Phone{AGC: 2},
	}
	s.Calls = calledLadder()[1:4]
	return s
}

func madeScene(t testing.TB, s Scene, look func(string, []float32)) *Recording {
	t.Helper()
	r, err := GenerateWith(s, Material{}, look)
	require.NoError(t, err)
	return r
}

func TestSameSceneGivesSameBytes(t *testing.T) {
	a, b := madeScene(t, shortScene(1), nil), madeScene(t, shortScene(1), nil)
	assert.True(t, slices.Equal(a.Samples, b.Samples))
	ja, err := json.Marshal(a.Truth)
	require.NoError(t, err)
	jb, err := json.Marshal(b.Truth)
	require.NoError(t, err)
	assert.Equal(t, string(ja), string(jb))

	c := madeScene(t, shortScene(2), nil)
	assert.False(t, slices.Equal(a.Samples, c.Samples), "another seed")

	assert.InDelta(t, c.Truth.Duration*testRate, len(c.Samples), 1)
	peak := 0.0
	for _, v := range c.Samples {
		require.False(t, math.IsNaN(float64(v)))
		peak = math.Max(peak, math.Abs(float64(v)))
	}
	assert.InDelta(t, signal.FromDB(-3), peak, 0.001, "3 dB below full scale")
}

func TestTimesDoNotDependOnRoomPhoneOrRate(t *testing.T) {
	at16 := planned(t, shortScene(1)).truth
	s := shortScene(1)
	s.Rate, s.Phone, s.Background = 48000, acoustics.Phone{ClipDB: 6}, Background{}
	at48 := planned(t, s).truth
	require.Len(t, at48.Strokes, len(at16.Strokes))
	for i := range at16.Strokes {
		assert.InDelta(t, at16.Strokes[i].Time, at48.Strokes[i].Time, 0.6/testRate)
		assert.Equal(t, at16.Strokes[i].Person, at48.Strokes[i].Person)
	}
}

// dryStrokes generates a scene and returns its strokes without room, noise and phone.
func dryStrokes(t *testing.T, s Scene) ([]float32, Truth) {
	var dry []float32
	r := madeScene(t, s, func(name string, x []float32) {
		if name == "dry strokes" {
			dry = slices.Clone(x)
		}
	})
	require.NotNil(t, dry)
	return dry, r.Truth
}

func TestStrokesSoundExactlyWhereTheTruthSays(t *testing.T) {
	s := shortScene(4)
	s.Group.People = 1
	dry, truth := dryStrokes(t, s)
	require.NotEmpty(t, truth.Strokes)
	checked, last := 0, -1.0
	for _, stroke := range truth.Strokes {
		at := int(math.Round(stroke.Time * testRate))
		if stroke.Time-last > 0.15 { // the stroke before is over
			for i := max(0, at-testRate/100); i < at; i++ {
				require.Zero(t, dry[i], "%v", stroke)
			}
			assert.NotZero(t, dry[at], "%v", stroke)
			checked++
		}
		last = stroke.Time
	}
	assert.Greater(t, checked, 10)
}

func TestEnergyOfTheDrySoundIsThatOfTheListedStrokes(t *testing.T) {
	s := shortScene(5)
	s.Rate = 16000                   // where a clap has unit energy
	s.Group.Near, s.Group.Far = 3, 3 // everybody at the same distance
	dry, truth := dryStrokes(t, s)
	full, err := s.withDefaults()
	require.NoError(t, err)
	people := makePlan(full).people
	for _, round := range truth.Rounds {
		from, to := round.Response.Start-0.3, round.Response.End+0.3
		want := 0.0
		for _, stroke := range truth.Strokes {
			if stroke.Person > 0 && stroke.Time > from && stroke.Time < to {
				g := people[stroke.Person-1].Gain * signal.FromDB(stroke.LevelDB) * acoustics.Direct(3)
				want += g * g
			}
		}
		got := 0.0
		for _, v := range dry[int(from*16000):int(to*16000)] {
			got += float64(v) * float64(v)
		}
		assert.InDelta(t, 0, 10*math.Log10(got/want), 0.7, "dB; claps of different people add as power")
	}
}

func TestBackgroundHasTheAskedLevels(t *testing.T) {
	s := shortScene(6)
	powers := map[string]float64{}
	var strokes []float32
	r := madeScene(t, s, func(name string, x []float32) {
		powers[name] = signal.Power(x)
		if name == "strokes" {
			strokes = slices.Clone(x)
		}
	})
	// The reference, from the truth alone: from a call's first stroke to 0.3 s after the answer's
	// last.
	sum, n := 0.0, 0
	for i, round := range r.Truth.Rounds {
		end := 0.0
		for _, stroke := range r.Truth.Strokes {
			if stroke.Round == i {
				end = math.Max(end, stroke.Time+0.3)
			}
		}
		part := strokes[int(round.Call.Notes[0]*testRate):int(end*testRate)]
		sum += signal.Power(part) * float64(len(part))
		n += len(part)
	}
	reference := sum / float64(n)
	for name, want := range map[string]float64{"noise": -25, "talk": -18, "music": -22} {
		assert.InDelta(t, want, 10*math.Log10(powers[name]/reference), 0.2, name)
	}
	require.NotEmpty(t, r.Truth.Quiet)
	for _, q := range r.Truth.Quiet {
		part := strokes[int(q.Start*testRate):int(q.End*testRate)]
		assert.Less(t, signal.Power(part), 1e-3*reference,
			"strokes have died away from %g to %g s", q.Start, q.End)
	}
	assert.Contains(t, powers, "leader's voice")
	assert.Contains(t, powers, "laughter")
	assert.Contains(t, powers, "bumps")
}

func TestLeaderIsAsLoudAsAsked(t *testing.T) {
	for _, db := range []float64{-6, 3} {
		s := Scene{
			Seed: 8, Rate: testRate, Group: people.Group{People: 20, Level: 12},
			Leader: Leader{LevelDB: db}, Room: acoustics.Room{RT60: 0.3},
			Flow: Flow{AnswerPause: 1},
		}
		slow := evenBeats(4)
		slow.Tempo = 50
		for range 6 {
			s.Calls = append(s.Calls, Call{Phrase: slow, Difficulty: 1})
		}
		var strokes []float32
		r := madeScene(t, s, func(name string, x []float32) {
			if name == "strokes" {
				strokes = slices.Clone(x)
			}
		})
		around := func(at float64) float64 {
			part := strokes[int((at-0.2)*testRate):int((at+0.6)*testRate)]
			return signal.Power(part)
		}
		leader, group := 0.0, 0.0
		for _, round := range r.Truth.Rounds {
			require.Equal(t, 1.0, round.Response.Share)
			for _, at := range round.Call.Notes {
				leader += around(at)
			}
			for _, n := range round.Response.Notes {
				group += around(n.Time)
			}
		}
		assert.InDelta(t, db, 10*math.Log10(leader/group), 1)
	}
}

// Talk lives below 3 to 4 kHz (measured for this project with synthetic speech), which is why claps
// are listened to above; its level moves with the syllables.
func TestTalkIsLow(t *testing.T) {
	x := make([]float32, 8*16000)
	for seed := range uint64(4) {
		sounds.NewVoice(16000, signal.Stream(seed, "t")).Speak(x, 0, len(x))
	}
	all := make([]float64, len(x))
	for i, v := range x {
		all[i] = float64(v)
	}
	high := signal.HighPassed(all, 4000, 16000)
	total, above := 0.0, 0.0
	for i := range all {
		total += all[i] * all[i]
		above += high[i] * high[i]
	}
	assert.Less(t, above/total, 0.10)
	assert.Greater(t, above/total, 0.0005, "there are hisses")

	one := make([]float32, 8*16000)
	sounds.NewVoice(16000, signal.Stream(1, "t")).Speak(one, 0, len(one))
	pauses := 0
	for at := 0; at+800 < len(one); at += 800 {
		if signal.Power(one[at:at+800]) < 1e-3*signal.Power(one) {
			pauses++
		}
	}
	assert.Greater(t, pauses, 8, "a speaker breathes")
	assert.Less(t, pauses, 100)
}

func TestReferenceWithoutRoundsIsAFullGroup(t *testing.T) {
	s := Scene{Seed: 1, Flow: Flow{TalkBefore: 3}, Background: Background{Voices: 1}}
	r := madeScene(t, s, nil)
	assert.Empty(t, r.Truth.Rounds)
	assert.Len(t, r.Truth.Talk, 1)
	assert.Greater(t, r.Truth.Duration, 3.0)
	assert.Greater(t, signal.Power(r.Samples), 1e-6)
}
