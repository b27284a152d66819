package warmups

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// sources makes a scene and keeps what was added to the mix, by name.
func sources(t *testing.T, s synth.Scene) (map[string][]float32, *synth.Recording) {
	t.Helper()
	out := map[string][]float32{}
	r, err := synth.GenerateWith(s, synth.Material{},
		func(name string, x []float32) { out[name] = slices.Clone(x) })
	require.NoError(t, err)
	return out, r
}

// over is the mean power of x over a span, in dB.
func over(x []float32, s signal.Span) float64 {
	from, to := max(0, int(s.Start*16000)), min(len(x), int(s.End*16000))
	return 10 * math.Log10(signal.Power(x[from:max(from, to)])+1e-30)
}

func TestWordsAreSaidInTheRhythmAndAsLoudAsAsked(t *testing.T) {
	s, _ := session(t, "all-words", 2, 4)
	s.Words = synth.Words{Leader: true, LeaderDB: -3, Group: true, GroupDB: -6}
	s.Room.RT60, s.Leader.Jitter = 0.2, 0.001
	sound, r := sources(t, s)
	require.Len(t, r.Truth.Words, 8)
	voice, strokes := sound["leader's words"], sound["strokes"]
	rises, notes := 0, 0
	var calls, quiet []float64
	for _, round := range r.Truth.Rounds {
		span := signal.Span{Start: round.Call.Start, End: round.Call.End}
		calls = append(calls, over(voice, span)-over(strokes, span))
		answer := signal.Span{Start: round.Response.Start + 0.5, End: round.Response.End - 0.3}
		quiet = append(quiet, over(voice, answer)-over(voice, span))
		for i, at := range round.Call.Notes {
			if i > 0 && at-round.Call.Notes[i-1] < 0.4 {
				continue
			}
			notes++
			on, before := signal.Span{Start: at + 0.02, End: at + 0.1}, signal.Span{Start: at - 0.2, End: at - 0.13}
			if over(voice, on) > over(voice, before)+6 {
				rises++
			}
		}
	}
	meanCall, _ := stat.MeanStdDev(calls, nil)
	assert.InDelta(t, -3, meanCall, 1.5)
	for _, db := range quiet {
		assert.Less(t, db, -15.0, "the leader is silent in the answers")
	}
	assert.GreaterOrEqual(t, float64(rises), 0.9*float64(notes), "of %d vowels", notes)
	var answers []float64
	for _, span := range r.Truth.Words[1:2] {
		answers = append(answers, over(sound["group's words"], span)-over(strokes, span))
	}
	assert.InDelta(t, -6, answers[0], 3)
}

func TestPulseIsKeptOnTheBeatAsLoudAsAsked(t *testing.T) {
	for _, with := range []sounds.Kind{sounds.Stamp, sounds.Bass, sounds.Drum} {
		s, _ := session(t, "kept-pulse", 3, 4)
		s.Pulse = synth.Pulse{Sound: with, DB: -6}
		s.Leader.Sound = sounds.Clap
		sound, r := sources(t, s)
		dry, strokes := sound["dry pulse"], sound["dry strokes"]
		var beats, calls []float64
		energy := func(x []float32, at float64) float64 {
			sum := 0.0
			for _, v := range x[int(at*16000):min(len(x), int((at+0.15)*16000))] {
				sum += float64(v) * float64(v)
			}
			return sum
		}
		covered := 0
		for _, stroke := range r.Truth.Strokes {
			if stroke.Role == synth.Keeping {
				assert.NotZero(t, dry[int(math.Round(stroke.Time*16000))])
				beats = append(beats, energy(dry, stroke.Time))
				covered++
			}
		}
		last := -1.0
		for _, stroke := range r.Truth.Strokes {
			if stroke.Role == synth.InCall && !stroke.Accent && stroke.Time-last > 0.3 {
				calls = append(calls, energy(strokes, stroke.Time))
			}
			last = stroke.Time
		}
		beat, _ := stat.MeanStdDev(beats, nil)
		call, _ := stat.MeanStdDev(calls, nil)
		assert.InDelta(t, -6, 10*math.Log10(beat/call), 1.5, with.String())
		want := 0.0
		for _, round := range r.Truth.Rounds {
			want += (round.Call.End-round.Call.Start)*round.Call.Tempo/60 +
				(round.Response.End-round.Response.Start)*round.Response.Tempo/60
		}
		assert.InDelta(t, want, covered, 0.2*want, "a beat each through call and answer")
	}
}

func TestWhatGoesOnAroundIsOutsideTheRounds(t *testing.T) {
	for _, name := range []string{"starts-early", "runs-on-long", "both-ends"} {
		kinds := map[synth.Kind]bool{}
		for seed := range uint64(8) {
			s, _ := session(t, name, seed, 6)
			truth := truthOf(t, s)
			require.NotEmpty(t, truth.Around)
			first, last := truth.Rounds[0].Call.Start, truth.Rounds[len(truth.Rounds)-1].Response.End
			for _, a := range truth.Around {
				kinds[a.Kind] = true
				assert.Greater(t, truth.Duration, a.End)
				assert.True(t, a.End < first && name != "runs-on-long" || a.Start > last-0.5 && name != "starts-early")
				strokes := 0
				for _, stroke := range truth.Strokes {
					if stroke.Time > a.Start && stroke.Time < a.End {
						assert.Equal(t, -1, stroke.Round)
						strokes++
					}
				}
				claps := a.Kind == synth.Drumming || a.Kind == synth.Applauding
				assert.Equal(t, claps, strokes > 20, "%s: %d strokes", a.Kind, strokes)
			}
		}
		assert.Len(t, kinds, 4)
	}
	s, _ := session(t, "both-ends", 1, 2)
	s.Flow.Early = []synth.Stretch{{Kind: synth.Talking, Seconds: 4}}
	s.Flow.Late = []synth.Stretch{{Kind: synth.Playing, Seconds: 4}}
	sound, r := sources(t, s)
	for i, name := range []string{"talk around", "music around"} {
		span := r.Truth.Around[i].Span
		later := signal.Span{Start: span.End + 2, End: span.End + 3}
		assert.Greater(t, over(sound[name], span), over(sound[name], later)+20, name)
	}
}

func TestHappeningsHaveTheirLevels(t *testing.T) {
	s, _ := session(t, "ringing", 1, 3)
	s.NextDoor = synth.NextDoor{Seed: 9, DB: -12}
	s.Phone.MovedDB = 10
	sound, r := sources(t, s)
	whole := signal.Span{Start: 0, End: r.Truth.Duration}
	require.Positive(t, r.Truth.Moved)
	assert.Equal(t, synth.Answered, s.Calls[0].Answer, "the calls of the scene stay as they are")
	door := make([]float64, len(sound["next door"]))
	for i, v := range sound["next door"] {
		door[i] = float64(v)
	}
	high := signal.HighPassed(door, 2000, 16000)
	sum, all := 0.0, 0.0
	for i := range high {
		sum, all = sum+high[i]*high[i], all+door[i]*door[i]
	}
	assert.Less(t, sum/all, 0.01, "a wall takes the treble")
	assert.Greater(t, over(sound["ringing"], whole), -100.0)
	assert.Greater(t, over(sound["doors"], whole), -100.0)
	assert.Greater(t, over(sound["hand"], signal.Span{Start: r.Truth.Moved, End: r.Truth.Moved + 0.5}), -100.0)
}

func TestMovedPhoneHearsLess(t *testing.T) {
	s, _ := session(t, "moved", 1, 6)
	s.Phone.MovedDB = 12
	a, r := sources(t, s)
	s.Phone.MovedDB = 0
	b, _ := sources(t, s)
	assert.NotContains(t, b, "hand")
	assert.Contains(t, a, "hand")
	before := signal.Span{Start: 0, End: r.Truth.Moved}
	after := signal.Span{Start: r.Truth.Moved + 0.5, End: r.Truth.Duration}
	assert.InDelta(t, 0, over(a["moved strokes"], before)-over(a["strokes"], before), 0.01)
	assert.InDelta(t, -12, over(a["moved strokes"], after)-over(a["strokes"], after), 0.01)
	assert.InDelta(t, r.Truth.Rounds[len(r.Truth.Rounds)/2].Call.Start, r.Truth.Moved, 0.25)
}
