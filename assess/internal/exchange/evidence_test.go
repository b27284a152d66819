package exchange

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stretch is n rounds of an ordinary warm-up, changed one by one.
func stretch(n int, change func(k int, d *digest)) []digest {
	out := make([]digest, n)
	for k := range out {
		out[k] = digest{
			Start: float64(10 * k), End: float64(10*k + 8), Answered: true, Gain: 0.3, Rhythm: k / 2, Sure: 3.5,
			Pause: pause{0.02 * float64(k%3), 0.01 * float64(k%3)}, Strokes: 6, Attacks: 9,
			Differs: traits{-7 + float64(k%3), -3, 1.5, -0.5, 1}, Apart: 2,
		}
		change(k, &out[k])
	}
	return out
}

func odds(t *testing.T, list []digest) float64 {
	e, ok := evidence(list)
	require.True(t, ok)
	return e.Odds()
}

func TestWhatSpeaksAgainstAnExchange(t *testing.T) {
	usual := odds(t, stretch(10, func(int, *digest) {}))
	require.Greater(t, usual, 2.0)
	for law, change := range map[string]func(k int, d *digest){
		"strokes of the same sound that no round explains": func(_ int, d *digest) {
			d.StrangeBefore, d.LikeBefore, d.Attacks = 4, 4, 13
		},
		"answers that begin whenever they like": func(k int, d *digest) {
			d.Pause = pause{0.4 * float64(k%4), 0.2 * float64(k%4)}
		},
		"calls that are hardly what they are taken for": func(_ int, d *digest) { d.Sure = 1.5 },
		"answers that fit any call":                     func(_ int, d *digest) { d.Gain = 0 },
	} {
		t.Run(law, func(t *testing.T) {
			assert.Less(t, odds(t, stretch(10, change)), usual-1)
		})
	}
	applause := func(_ int, d *digest) { d.StrangeBefore, d.Attacks = 4, 13 }
	same := func(_ int, d *digest) { d.StrangeBefore, d.LikeBefore, d.Attacks = 4, 4, 13 }
	assert.Greater(t, odds(t, stretch(10, applause)), odds(t, stretch(10, same))+1,
		"what sounds like neither source is somebody else's")
}

func TestALeaderWaitsForABeatOrForABreath(t *testing.T) {
	beats, breath, neither := []pause{}, []pause{}, []pause{}
	for k := range 8 {
		tempo := 0.4 + 0.05*float64(k)
		beats = append(beats, pause{1, tempo})
		breath = append(breath, pause{0.7 / tempo, 0.7})
		neither = append(neither, pause{0.3 * float64(k) / tempo, 0.3 * float64(k)})
	}
	assert.InDelta(t, unsteady(beats), unsteady(breath), 1e-9)
	assert.Less(t, unsteady(beats), 0.02)
	assert.Greater(t, unsteady(neither), 0.15)
}

// Rounds of the same two sources beside a stretch are counted with it: a few neighbours of many
// accidental rounds fit.
func TestALuckyFewAmongManyAreNotBelieved(t *testing.T) {
	lucky := func(k int, d *digest) {
		if k < 8 || k > 12 {
			d.Sure, d.Gain, d.Even = 1.6, 0.05, true
			d.Pause = pause{0.5 * float64(k%4), 0.3 * float64(k%4)}
		}
	}
	assert.True(t, judge(stretch(20, lucky)[8:13]).Believed(), "alone")
	assert.False(t, judge(stretch(20, lucky)).Believed())
}

func TestWhateverTheRoundsAreTheyAreJudged(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 400 {
		list := stretch(1+rng.IntN(30), func(_ int, d *digest) {
			d.Answered = rng.IntN(4) > 0
			d.Differs = traits{20 * rng.NormFloat64(), 9 * rng.NormFloat64(), rng.NormFloat64()}
			d.Sure = 5 * rng.Float64()
		})
		j := judge(list)
		assert.True(t, j.Probability >= 0 && j.Probability <= 1)
		for _, s := range j.Stretches {
			require.Less(t, s.first, s.end)
			assert.True(t, list[s.first].Answered && list[s.end-1].Answered)
		}
	}
}
