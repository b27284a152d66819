package engine

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// clapIn is a room at a level with one clap in it, as a phone with full scale 1 would give it, dB
// below full scale.
func clapIn(roomDB, clapDB float64) []float32 {
	rng := rand.New(rand.NewPCG(1, 2))
	room, clap := math.Pow(10, roomDB/20), math.Pow(10, clapDB/20)*math.Sqrt2
	out := make([]float32, 3*16000)
	for i := range out {
		x := room * rng.NormFloat64()
		if since := float64(i-2*16000) / 16000; since >= 0 {
			x += clap * math.Exp(-since/0.006) * rng.NormFloat64()
		}
		out[i] = float32(max(-1, min(1, x)))
	}
	return out
}

func TestAClapTellsWhetherThePhoneIsWellPlaced(t *testing.T) {
	for _, c := range []struct {
		room, clap float64
		state      string
	}{
		{-65, -18, "good"},
		{-50, -14, "good"},
		{-60, 6, "loud"},
		{-60, -42, "far"},
		{-32, -12, "noisy"},
	} {
		e := New("test")
		e.Ask("level", `{"rate":16000}`)
		var said answerOfLevel
		for _, piece := range pieces(clapIn(c.room, c.clap), 999) {
			if text := e.Hear(piece); text != "" {
				require.NoError(t, json.Unmarshal([]byte(text), &said))
			}
		}
		assert.Equal(t, c.state, said.OK.State, "room %g, clap %g: %+v", c.room, c.clap, said.OK)
	}
}

func TestAMicrophoneThatIsOffIsSaidOnce(t *testing.T) {
	e := New("test")
	e.Ask("level", `{"rate":16000}`)
	said := 0
	for _, piece := range pieces(make([]float32, 5*16000), 1000) {
		if text := e.Hear(piece); text != "" {
			assert.Contains(t, text, `"silent"`)
			said++
		}
	}
	assert.Equal(t, 1, said)
}

type answerOfLevel struct{ OK level }

func pieces(x []float32, n int) [][]float32 {
	var out [][]float32
	for len(x) > 0 {
		k := min(n, len(x))
		out, x = append(out, x[:k]), x[k:]
	}
	return out
}

func TestTheDemosPhoneIsWellPlaced(t *testing.T) {
	demo, err := os.ReadFile("../../../../testdata/boatyard-lunch.wav")
	require.NoError(t, err)
	samples := make([]float32, (len(demo)-44)/2)
	for i := range samples {
		samples[i] = float32(int16(uint16(demo[44+2*i])|uint16(demo[45+2*i])<<8)) / 32768
	}
	e := New("test")
	e.Ask("level", `{"rate":16000}`)
	states := map[string]int{}
	for _, piece := range pieces(samples, 1600) {
		if text := e.Hear(piece); text != "" {
			var said answerOfLevel
			require.NoError(t, json.Unmarshal([]byte(text), &said))
			states[said.OK.State]++
		}
	}
	assert.Greater(t, states["good"], 2*(states["far"]+states["noisy"]+states["loud"]),
		"the leader's claps are good, talk is no clap: %v", states)
}
