package realsound

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth/signal"
)

// clapsAt is seconds of faint noise with short decaying bursts at times.
func clapsAt(seconds float64, times ...float64) []float32 {
	rng := rand.New(rand.NewPCG(1, 1))
	x := make([]float32, int(seconds*Rate))
	for i := range x {
		x[i] = float32(1e-4 * rng.NormFloat64())
	}
	for _, at := range times {
		for i := range Rate / 20 {
			x[int(at*Rate)+i] += float32(0.5 * rng.NormFloat64() * math.Exp(-float64(i)/(0.0015*Rate)))
		}
	}
	return x
}

func save(t *testing.T, folder, name string, x []float32) {
	t.Helper()
	path := filepath.Join(folder, name)
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
	file, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, signal.WriteWAV(file, x, Rate))
	require.NoError(t, file.Close())
}

func TestClapsAreCutOneByOne(t *testing.T) {
	claps := Claps(clapsAt(3, 0.5, 1.0, 1.06, 2.0, 2.3))
	require.Equal(t, 3, len(claps), "two 60 ms apart are no single clap")
	for _, c := range claps {
		early, all := 0.0, 0.0
		for i, v := range c {
			if i < Rate/200 {
				early += v * v
			}
			all += v * v
		}
		assert.Greater(t, early/all, 0.8, "from its start on")
	}
	double := clapsAt(1, 0.5, 0.515)
	assert.Zero(t, len(Claps(double)), "two strokes are not one")
	assert.Zero(t, len(Claps(nil)))
}

func TestSourcesAreInOneHalf(t *testing.T) {
	folder := t.TempDir()
	t.Setenv(Variable, folder)
	for i, name := range []string{"claps/ann.wav", "claps/ben.wav", "claps/cis.wav"} {
		save(t, folder, name, clapsAt(2, 0.3+0.1*float64(i), 1))
	}
	for _, name := range []string{"noises/rain_1-5-A.wav", "noises/rain_1-5-B.wav", "noises/rain_2-6-A.wav"} {
		save(t, folder, name, clapsAt(1))
	}
	echo := clapsAt(1)
	echo[100], echo[4000] = 1, 0.5
	late := clapsAt(1)
	for i := range 3000 {
		late[1000+i] = 0.6
	}
	save(t, folder, "rooms/barn-L.wav", echo)
	save(t, folder, "rooms/barn-R.wav", echo)
	save(t, folder, "rooms/cave.wav", late)
	l := Find(t)
	assert.Len(t, l[""], 9)
	assert.Equal(t, 2, len(l.Hands(t, false)))
	assert.Equal(t, 1, len(l.Hands(t, true)))
	assert.Equal(t, 2, len(l.Rooms(t, false)), "two channels of one room")
	assert.Zero(t, len(l.Rooms(t, true)), "no clear first arrival")
	assert.NotZero(t, len(l.Noise(t, true, rand.New(rand.NewPCG(1, 1)))))
	assert.Nil(t, l.Babble(t, 3, true, rand.New(rand.NewPCG(1, 1))))
	assert.Len(t, every([]int{1}, false), 1, "a single source is in both")
	assert.Len(t, every([]int{1}, true), 1)
}

func TestReelsAreMinutesOfTheirClass(t *testing.T) {
	folder := t.TempDir()
	t.Setenv(Variable, folder)
	save(t, folder, "noises/dog-bark_1.wav", clapsAt(1, 0.3))
	l := Find(t)
	for _, c := range ReelClasses {
		r, ok := MakeReel(t, l, c, 1, true)
		assert.Equal(t, c.Name == "dog", ok)
		if ok {
			assert.Greater(t, len(r.Samples), 80*Rate)
			again, _ := MakeReel(t, l, c, 1, true)
			assert.True(t, slices.Equal(r.Samples, again.Samples))
		}
	}
}
