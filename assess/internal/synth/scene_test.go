package synth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/rhythm"
)

func TestImpossibleScenesAreRefusedInOneLine(t *testing.T) {
	good := Call{Phrase: evenBeats(4), Difficulty: 1}
	for name, s := range map[string]Scene{
		"sample rate":  {Rate: 4000},
		"people":       {Group: people.Group{People: -1}},
		"too many":     {Group: people.Group{People: 1000}},
		"NaN":          {Room: acoustics.Room{RT60: math.NaN()}},
		"infinite":     {Group: people.Group{Lag: math.Inf(1)}},
		"near and far": {Group: people.Group{Near: 5, Far: 3}},
		"bits":         {Phone: acoustics.Phone{Bits: 3}},
		"no notes":     {Calls: []Call{{Phrase: people.Phrase{Length: 4, Tempo: 90}}}},
		"no tempo":     {Calls: []Call{{Phrase: people.Phrase{Length: 4, Notes: []people.Note{{}}}}}},
		"unordered": {Calls: []Call{{Phrase: people.Phrase{
			Length: 4, Tempo: 90,
			Notes: []people.Note{{Beat: 1}, {Beat: 0}},
		}}}},
		"outside": {Calls: []Call{{
			Phrase: people.Phrase{Length: 4, Tempo: 90, Notes: []people.Note{{Beat: 4}}},
		}}},
		"wrong is none": {Calls: []Call{{Phrase: good.Phrase, Answer: Different}}},
		"attempts":      {Calls: []Call{{Phrase: good.Phrase, Attempts: 99}}},
		"tempo":         {Calls: []Call{{Phrase: good.Phrase, Tempo: 1}}},
		"too long": {
			Calls: []Call{good},
			Flow:  Flow{TalkBefore: 600, TalkAfter: 600, Practice: 600, After: 600},
			Group: people.Group{People: 1},
		},
	} {
		if name == "too long" {
			for range 7 {
				c := good
				c.Pause = 600
				s.Calls = append(s.Calls, c)
			}
		}
		_, err := Generate(s)
		require.ErrorIs(t, err, ErrScene, name)
		assert.NotContains(t, err.Error(), "\n")
	}
}

func TestZeroSceneIsAWarmUpOfTwentyWithDefaults(t *testing.T) {
	s, err := Scene{Calls: []Call{{Phrase: evenBeats(4)}}}.withDefaults()
	require.NoError(t, err)
	assert.Equal(t, 16000, s.Rate)
	assert.Equal(t, 20, s.Group.People)
	assert.Equal(t, 0.6, s.Room.RT60)
	assert.Equal(t, 4.0, s.Group.LoudnessSD)
}

func TestPhrasesOfTheBankKeepTheirPlaces(t *testing.T) {
	beats := func(p people.Phrase) []float64 {
		var out []float64
		for _, n := range p.Notes {
			out = append(out, n.Beat)
		}
		return out
	}
	p := people.FromRhythm("a", rhythm.MustParse("x xX .s xxx", "4/4", 90))
	assert.InDeltaSlice(t, []float64{0, 1, 1.5, 2.5, 3, 3 + 1.0/3, 3 + 2.0/3}, beats(p), 2e-4)
	assert.Equal(t, []float64{0, 1, 2, 3}, p.Pulse)
	assert.True(t, p.Notes[2].Accent)
	assert.Equal(t, sounds.Stamp, p.Notes[3].Sound)
	assert.Equal(t, 4.0, p.Length)
	assert.Equal(t, 90.0, p.Tempo)

	p = people.FromRhythm("b", rhythm.MustParse("x.x xx. | x.. ...", "6/8", 60))
	assert.InDeltaSlice(t, []float64{0, 2.0 / 3, 1, 4.0 / 3, 2}, beats(p), 2e-4, "dotted quarters")
	assert.Equal(t, 4.0, p.Length)
	assert.Equal(t, 2.0, p.Bar)

	p = people.FromRhythm("c", rhythm.MustParse("x. xx x.x", "7/8=2+2+3", 120))
	assert.Equal(t, []float64{0, 1, 1.5, 2, 3}, beats(p), "quarters")
	assert.Equal(t, []float64{0, 1, 2}, p.Pulse)
	assert.Equal(t, 3.5, p.Length)
	assert.True(t, p.OnBeat(2))
	assert.False(t, p.OnBeat(3))
	assert.Equal(t, 2.0, p.NearestBeat(3))
	assert.Equal(t, 0.5, p.Shortest())
}

func TestSoundsHaveTheNamesOfTheNotation(t *testing.T) {
	for _, s := range []rhythm.Sound{rhythm.Clap, rhythm.Stamp, rhythm.Pat, rhythm.Snap} {
		assert.Equal(t, s.String(), sounds.Kind(s).String())
	}
	assert.Equal(t, "unknown sound", sounds.Kind(99).String())
	assert.Equal(t, "unknown mix", people.Mix(99).String())
}

func FuzzGenerate(f *testing.F) {
	f.Add(uint64(1), 3, 0.3, 0.5, 2.0, uint8(0))
	f.Add(uint64(2), 1, 0.15, 0.01, 1.0, uint8(255))
	f.Add(uint64(3), 9, 0.5, 3.99, 4.0, uint8(90))
	for flags := range uint8(8) {
		f.Add(uint64(4), 3, 0.3, 0.5, 2.0, 192+flags)
	}
	f.Fuzz(func(t *testing.T, seed uint64, size int, rt, beat, length float64, flags uint8) {
		on := func(bit int) bool { return flags>>bit&1 == 1 }
		s := Scene{
			Seed: seed, Rate: 8000, Group: people.Group{People: size % 12}, Room: acoustics.Room{RT60: min(rt, 0.6)},
			Flow:  Flow{Seamless: on(0), Praise: on(1), CountIn: CountIn(flags % 3), CallPause: 0.3},
			Phone: acoustics.Phone{Coding: rt, AGC: beat},
			Calls: []Call{{
				Phrase: people.Phrase{
					Tempo: 240, Length: min(length, 8), Bar: 4,
					Notes: []people.Note{{Beat: 0}, {Beat: beat, Sound: sounds.Kind(flags % 6)}},
				},
				Difficulty: beat, Answer: Answer(flags % 2), Attempts: int(flags % 3),
			}},
		}
		s.Leader.ClapsAlong = on(4)
		if on(5) {
			s.Background = Background{Voices: 1, Laughs: 1, Bumps: 1}
		}
		if on(6) {
			s.Words = Words{Leader: true, Group: on(0)}
			s.Pulse = Pulse{Sound: sounds.Bass, DB: -beat}
			s.Calls[0].Applause, s.Calls[0].Straggler = rt, on(1)
			s.Flow.TalkOver = on(2)
		}
		if on(7) {
			s.Phone = acoustics.Phone{
				Levelling: acoustics.Levelling{Attack: rt, Release: beat, LiftDB: length},
				LimitDB:   10 * rt, GateDB: -beat, MovedDB: length,
			}
			s.Flow.Early = []Stretch{{[]Kind{Drumming, Applauding, Talking, Playing}[flags%4], 0.5 + rt}}
			s.Background.Rings, s.Background.Slams, s.NextDoor = 1, 1, NextDoor{Seed: seed, DB: -length}
		}
		r, err := Generate(s)
		if err != nil {
			require.ErrorIs(t, err, ErrScene)
			return
		}
		for _, v := range r.Samples {
			require.False(t, math.IsNaN(float64(v)) || v > 1 || v < -1)
		}
	})
}
