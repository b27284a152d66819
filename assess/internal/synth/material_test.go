package synth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

func TestWithoutMaterialNothingChanges(t *testing.T) {
	s := shortScene(3)
	a, err := Generate(s)
	require.NoError(t, err)
	b, err := GenerateWith(s, Material{}, nil)
	require.NoError(t, err)
	assert.Equal(t, a.Truth, b.Truth)
	assert.Equal(t, a.Samples, b.Samples)
}

func TestMaterialSoundsInPlaceOfWhatIsMadeUp(t *testing.T) {
	s := shortScene(3)
	s.Rate = 16000
	s.Leader.Sound = sounds.Clap
	s.Background = Background{Voices: 1, TalkDB: -12, NoiseDB: -18}
	// Hands that are a tone of 3 kHz, a room with one echo after 250 ms, talk and noise of one tone each.
	clap := make([]float64, 800)
	for i := range clap {
		clap[i] = math.Sin(2*math.Pi*3000*float64(i)/16000) * math.Exp(-float64(i)/80)
	}
	room := make([]float64, 8000)
	room[0], room[4000] = 1, 0.5
	from := Material{
		Hands: [][][]float64{{clap}}, Room: room, Talk: sine(500, 16000, 16000), Noise: sine(60, 16000, 16000),
	}
	sound := map[string][]float32{}
	r, err := GenerateWith(s, from, func(name string, x []float32) {
		sound[name] = append([]float32(nil), x...)
	})
	require.NoError(t, err)
	plain, err := Generate(s)
	require.NoError(t, err)
	assert.Equal(t, plain.Truth.Strokes, r.Truth.Strokes, "the same is clapped")

	first := r.Truth.Strokes[0]
	at := int(math.Round(first.Time * 16000))
	crossings := 0
	for i := at; i < at+200; i++ {
		if sound["dry strokes"][i] < 0 != (sound["dry strokes"][i+1] < 0) {
			crossings++
		}
	}
	assert.InDelta(t, 2*3000.0*200/16000, crossings, 12, "3 kHz at a pitch of one's own")
	reverberation := func(from, to float64) float64 {
		sum := 0.0
		for i := at + int(from*16000); i < at+int(to*16000); i++ {
			v := float64(sound["strokes"][i] - sound["dry strokes"][i])
			sum += v * v
		}
		return sum
	}
	assert.Greater(t, reverberation(0.25, 0.27), 100*reverberation(0.05, 0.24), "an echo and nothing else")
	reference := plainReference(sound["strokes"], r.Truth)
	for name, want := range map[string]float64{"talk": -12, "noise": -18} {
		assert.InDelta(t, want, 10*math.Log10(signal.Power(sound[name])/reference), 0.3, name)
	}
}

// plainReference is the mean power from every call's first stroke to 0.3 s after the answer's last.
func plainReference(strokes []float32, truth Truth) float64 {
	sum, n := 0.0, 0
	for i, round := range truth.Rounds {
		end := 0.0
		for _, s := range truth.Strokes {
			if s.Round == i {
				end = math.Max(end, s.Time+0.3)
			}
		}
		part := strokes[int(round.Call.Notes[0]*16000):int(end*16000)]
		sum += signal.Power(part) * float64(len(part))
		n += len(part)
	}
	return sum / float64(n)
}

func TestMeasuredRoomKeepsItsReverberation(t *testing.T) {
	response := make([]float64, 8000)
	response[0], response[3000], response[5000] = 0.8, 0.3, 0.2
	tail, energy := measured(response, 16000, people.Group{Near: 2, Far: 6})
	assert.Zero(t, tail[0], "the direct sound is added by itself")
	straight := acoustics.Direct(4) * acoustics.Direct(4) // at the middle of the group
	assert.InDelta(t, (0.09+0.04)/0.64, energy/straight, 1e-9)
	assert.InDelta(t, 0.3/0.8*acoustics.Direct(4), tail[3000], 1e-9)
}

// sine is n samples of a pure tone.
func sine(hertz float64, rate, n int) []float32 {
	out := make([]float32, n)
	for i := range out {
		out[i] = float32(0.5 * math.Sin(2*math.Pi*hertz*float64(i)/float64(rate)))
	}
	return out
}
