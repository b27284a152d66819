package transcribe

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// played are the times of a phrase's strokes with bar 1 at a time, and a jitter.
func played(p rhythm.Phrase, start float64, jitter func() float64) []float64 {
	var out []float64
	for _, s := range p.Strokes() {
		out = append(out, start+p.Seconds(s.Step)+jitter())
	}
	return out
}

func exact() float64 { return 0 }

// distance is the time from the first stroke to the first of an answer that follows at once.
func distance(p rhythm.Phrase) float64 { return p.Duration() }

func TestOnsets(t *testing.T) {
	for _, test := range []struct {
		law, meter, notation string
		tempo                float64
		known                bool // the distance to the answer
	}{
		{"four beats", "4/4", "x x x x", 96, true},
		{"eighths", "4/4", "x x xx x", 96, true},
		{"eighths without an answer", "4/4", "x x xx x", 96, false},
		{"off-beats", "4/4", "x .x .x x", 100, true},
		{"sixteenths", "4/4", "x x.xx x x", 84, true},
		{"a silent end, told by the answer", "4/4", "x x xx .", 96, true},
		{"two bars", "4/4", "x x xx x | x xx x .", 100, true},
		{"triplets, which are two bars of six eighths just as well", "6/8", "x xxx | x x", 90, true},
		{"six eighths", "6/8", "x.x x.x", 90, true},
		{"slow", "4/4", "x x xx x", 76, true},
		{"fast", "4/4", "x x xx x", 140, true},
		{"three quarters", "3/4", "x xx x", 100, true},
	} {
		t.Run(test.law, func(t *testing.T) {
			p := rhythm.MustParse(test.notation, test.meter, test.tempo)
			gap := 0.0
			if test.known {
				gap = distance(p)
			}
			got, ok := Onsets(played(p, 7, exact), gap)
			require.True(t, ok)
			assert.Equal(t, test.notation, got.Phrase.String())
			assert.Equal(t, test.meter, got.Phrase.Meter().String())
			assert.InDelta(t, test.tempo, got.Phrase.Tempo(), 0.2)
			assert.InDelta(t, 7, got.Map.At(0), 0.005)
			for _, s := range got.Phrase.Strokes() {
				assert.InDelta(t, p.Seconds(p.Strokes()[0].Step)+7+got.Phrase.Seconds(s.Step),
					got.Map.At(float64(s.Step)), 0.01)
			}
		})
	}
}

func TestTranscribeForgivesAHand(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	right, tries := 0, 0
	for _, notation := range []string{"x x xx x", "x .x x x", "xx x xx x", "x x . x"} {
		p := rhythm.MustParse(notation, "4/4", 96)
		for range 25 {
			tries++
			got, ok := Onsets(played(p, 1, func() float64 { return 0.012 * r.NormFloat64() }),
				distance(p)+0.03*r.NormFloat64())
			if ok && got.Phrase.Equal(p) {
				right++
			}
		}
	}
	t.Logf("%d of %d", right, tries)
	assert.Greater(t, right, 85)
}

func TestWhatIsNoRhythmIsNotTranscribed(t *testing.T) {
	for law, onsets := range map[string][]float64{
		"nothing":                 nil,
		"one stroke":              {3},
		"two strokes at one time": {3, 3},
		"too close to be strokes": {3, 3.001, 3.002, 3.003},
		"minutes apart":           {0, 100},
	} {
		t.Run(law, func(t *testing.T) {
			_, ok := Onsets(onsets, 0)
			assert.False(t, ok)
		})
	}
}

func TestIdentify(t *testing.T) {
	phrases := []struct{ id, meter, notation string }{
		{"row", "4/4", "x x x x"},
		{"gangway", "4/4", "x x xx x"},
		{"haul-line", "4/4", "x .x x x"},
		{"short", "4/4", "x x x ."},
		{"long", "4/4", "x x x . | . . . ."},
		{"swell", "6/8", "x.x x.x"},
		{"fender", "7/8=2+2+3", "x x x.x"},
		{"late", "4/4", ". x xx xx"},
	}
	bank := make([]rhythm.Phrase, len(phrases))
	for i, p := range phrases {
		bank[i] = rhythm.MustParse(p.notation, p.meter, 96)
	}
	r := rand.New(rand.NewPCG(2, 2))
	for i, want := range phrases {
		for _, tempo := range []float64{84, 96, 108} {
			t.Run(fmt.Sprintf("%s at %g", want.id, tempo), func(t *testing.T) {
				p := bank[i].WithTempo(tempo)
				onsets := played(p, 5, func() float64 { return 0.008 * r.NormFloat64() })
				index, line, ok := Identify(onsets, bank, distance(p))
				require.True(t, ok)
				assert.Equal(t, want.id, phrases[index].id)
				assert.InEpsilon(t, tempo, line.Tempo(bank[index]), 0.03)
				first := float64(p.Strokes()[0].Step)
				assert.InDelta(t, 5+p.Seconds(p.Strokes()[0].Step), line.At(first), 0.03)
				assert.InDelta(t, 5+p.Duration(), line.At(float64(p.Steps())), 0.1)
			})
		}
	}
}

func TestIdentifyRefuses(t *testing.T) {
	bank := []rhythm.Phrase{rhythm.MustParse("x x xx x", "4/4", 96)}
	p := bank[0]
	for law, onsets := range map[string][]float64{
		"one stroke fewer":        played(p, 0, exact)[:4],
		"another rhythm":          {0, 0.3, 0.6, 1.2, 1.8},
		"a tempo far off":         played(p.WithTempo(30), 0, exact),
		"nothing":                 nil,
		"all at one time":         {1, 1, 1, 1, 1},
		"one stroke in its place": {2},
	} {
		t.Run(law, func(t *testing.T) {
			_, _, ok := Identify(onsets, bank, 0)
			assert.False(t, ok)
		})
	}
}

func TestTripletsAndSixteenthsMayShareABar(t *testing.T) {
	for _, notation := range []string{"xx xxx x x", "x..x xx xxx x", "x xxx xx x"} {
		p := rhythm.MustParse(notation, "4/4", 92)
		got, ok := Onsets(played(p, 3, exact), distance(p))
		require.True(t, ok)
		assert.Equal(t, notation, got.Phrase.String())
	}
}

func TestOfPhrasesThatSoundAlikeThePlainOneIsMeant(t *testing.T) {
	claps := rhythm.MustParse("x x x x", "4/4", 96)
	stamps := rhythm.MustParse("x x s s", "4/4", 96)
	for _, bank := range [][]rhythm.Phrase{{claps, stamps}, {stamps, claps}} {
		i, _, ok := Identify(played(claps, 1, exact), bank, 0)
		require.True(t, ok)
		assert.Equal(t, claps, bank[i])
	}
}

func ExampleOnsets() {
	onsets := []float64{2.00, 2.63, 3.25, 3.56, 3.87} // seconds; the answer begins at 4.50
	found, ok := Onsets(onsets, 2.50)
	fmt.Println(ok, found.Phrase.Meter(), found.Phrase, "at about", int(found.Phrase.Tempo()+0.5))
	// Output: true 4/4 x x xx x at about 96
}

func ExampleIdentify() {
	bank := []rhythm.Phrase{
		rhythm.MustParse("x x x x", "4/4", 96),
		rhythm.MustParse("x x xx x", "4/4", 96),
	}
	index, line, ok := Identify([]float64{2.00, 2.63, 3.25, 3.56, 3.87}, bank, 0)
	phrase := bank[index]
	fmt.Printf("%v %s from %.1f to %.1f s\n", ok, phrase, line.At(0), line.At(float64(phrase.Steps())))
	// Output: true x x xx x from 2.0 to 4.5 s
}
