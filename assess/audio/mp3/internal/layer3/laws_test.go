package layer3

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The formulas are those of ISO/IEC 11172-3, written down plainly, in double precision.

func random(n int) []float32 {
	r := rand.New(rand.NewPCG(1, uint64(n)))
	x := make([]float32, n)
	for i := range x {
		x[i] = float32(r.NormFloat64())
	}
	return x
}

// cosines is the cosine transform of the second kind by its definition.
func cosines(x []float32) []float64 {
	out := make([]float64, len(x))
	for m := range out {
		for n, v := range x {
			out[m] += float64(v) * math.Cos(math.Pi/float64(len(x))*(float64(n)+0.5)*float64(m))
		}
	}
	return out
}

func TestFastCosineTransformsAreTheirDefinition(t *testing.T) {
	x := random(32)
	want := cosines(x)
	got := [32]float32(x)
	cosine32(&got)
	assert.InDeltaSlice(t, want, got[:], 1e-5)

	x = random(18)
	want = cosines(x)
	var long [19]float32
	copy(long[:], x)
	cosine18(&long)
	assert.InDeltaSlice(t, want, long[:18], 1e-5)

	x = random(9)
	nine := [9]float32(x)
	cosine9(&nine)
	assert.InDeltaSlice(t, cosines(x), nine[:], 1e-5)
}

// wave is the inverse modified cosine transform of 2.4.3.4.10.2, not yet windowed.
func wave(x []float32) []float64 {
	n := 2 * len(x)
	out := make([]float64, n)
	for i := range out {
		for k, v := range x {
			out[i] += float64(v) * math.Cos(math.Pi/float64(2*n)*float64((2*i+1+n/2)*(2*k+1)))
		}
	}
	return out
}

func TestWavesAreTheStandards(t *testing.T) {
	x := random(18)
	for kind, window := range windows {
		if kind == 2 {
			continue
		}
		want := wave(x)
		for i := range want {
			want[i] *= float64(window[i])
		}
		var got [36]float32
		longWave(&got, (*[18]float32)(x), &windows[kind])
		assert.InDeltaSlice(t, want, got[:], 1e-5)
	}
	want := make([]float64, 36)
	for w := range 3 {
		lines := []float32{x[w], x[3+w], x[6+w], x[9+w], x[12+w], x[15+w]}
		for i, v := range wave(lines) {
			want[6+6*w+i] += v * math.Sin(math.Pi/12*(float64(i)+0.5))
		}
	}
	var got [36]float32
	shortWave(&got, (*[18]float32)(x))
	assert.InDeltaSlice(t, want, got[:], 1e-5)
}

// plainBank is the synthesis as Figure 3-A.2 draws it.
type plainBank struct{ v [1024]float64 }

func (b *plainBank) samples(s []float32) []float64 {
	copy(b.v[64:], b.v[:960])
	for i := range 64 {
		b.v[i] = 0
		for k, x := range s {
			b.v[i] += math.Cos(float64((16+i)*(2*k+1))*math.Pi/64) * float64(x)
		}
	}
	out := make([]float64, 32)
	for i := range 512 {
		u := b.v[i/64*128+i%64]
		if i%64 >= 32 {
			u = b.v[i/64*128+96+i%32]
		}
		d := float64(window[min(i, 512-i)]) / 65536
		if i > 256 && i%64 != 0 {
			d = -d
		}
		out[i%32] += u * d
	}
	return out
}

func TestSynthesisIsTheStandards(t *testing.T) {
	var plain plainBank
	var fast bank
	for granule := range 3 {
		in := random(lines * (granule + 1))[lines*granule:]
		slots := [lines]float32(in)
		got := make([]float32, 2*lines)
		fast.synthesise(got[1:], 2, &slots)
		for slot := range 18 {
			want := plain.samples(in[32*slot:][:32])
			for j, w := range want {
				assert.InDelta(t, w, got[1+2*(32*slot+j)], 2e-5)
			}
		}
	}
}

func TestCodesUseUpAllWords(t *testing.T) {
	codes := map[string]int{quadWords[0]: 16, quadWords[1]: 16}
	sizes := map[int]int{1: 2, 2: 3, 3: 3, 5: 4, 6: 4, 7: 6, 8: 6, 9: 6, 10: 8, 11: 8, 12: 8}
	for n, written := range codeWords {
		size, ok := sizes[n]
		if !ok {
			size = 16
		}
		codes[written] = size * size
	}
	for written, words := range codes {
		assert.Len(t, written, 3*words)
		c := newCode(written)
		seen := map[[2]int]bool{}
		for next := uint64(0); ; {
			x, y, n := c.read(next << 32)
			assert.False(t, seen[[2]int{x, y}], "two words for the same")
			seen[[2]int{x, y}] = true
			if next += 1 << (32 - n); next>>32 != 0 {
				assert.Equal(t, uint64(1)<<32, next)
				break
			}
		}
		assert.Len(t, seen, words)
	}
}

func TestBandsFillTheGranule(t *testing.T) {
	for rate, l := range allLayouts {
		for name, one := range map[string]layout{"long": l.long, "short": l.short, "mixed": l.mixed} {
			before := 0
			for i, end := range one.end {
				assert.Greater(t, end, before, "%d %s %d", rate, name, i)
				before = end
			}
			assert.Equal(t, lines, before, "%d %s", rate, name)
		}
		assert.Equal(t, 3*l.edges.short[mixedFrom-1], l.mixed.end[l.mixed.longBands()-1], rate)
	}
}

// Directions by hand from 2.4.3.4.9.3 and, of MPEG-2, 13818-3, 2.4.3.2.
func TestDirections(t *testing.T) {
	l := &layoutsOf(Frame{Rate: 44100}).long
	for at, want := range map[int8][2]float64{
		0: {0, 1}, 3: {0.5, 0.5}, 6: {1, 0}, 2: {0.366, 0.634}, 7: {0, 0},
	} {
		g := granule{}
		g.scale[4], g.scale[20] = at, at
		for _, band := range []int{4, 20, 21} {
			left, right := directions(&g, band, l, true)
			assert.InDelta(t, want[0], left, 1e-3)
			assert.InDelta(t, want[1], right, 1e-3)
		}
	}
	for _, c := range []struct {
		at, illegal int8
		factors     int
		want        [2]float64
	}{
		{0, 7, 0, [2]float64{1, 1}},
		{1, 7, 0, [2]float64{0.8409, 1}}, // 2^(-1/4)
		{2, 7, 0, [2]float64{1, 0.8409}},
		{3, 7, 1, [2]float64{0.5, 1}},
		{7, 7, 0, [2]float64{0, 0}},
		{0, -1, 0, [2]float64{1, 1}},
	} {
		g := granule{factors: c.factors}
		g.scale[4], g.illegal[4] = c.at, c.illegal
		left, right := directions(&g, 4, l, false)
		assert.InDelta(t, c.want[0], left, 1e-4, "%+v", c)
		assert.InDelta(t, c.want[1], right, 1e-4, "%+v", c)
	}
}

func TestMissingBitsAreSilence(t *testing.T) {
	side := make([]byte, 32)
	side[0] = 1 // begins two bytes before, which are not there
	dst := make([]float32, 2304)
	var d Decoder
	f := Frame{Version: 1, Rate: 44100, Channels: 2, Side: side, Main: make([]byte, 300)}
	assert.False(t, d.Decode(dst, f))
	assert.Equal(t, make([]float32, 2304), dst)
	side[0] = 0
	assert.True(t, d.Decode(dst, f), "nothing is meant, nothing is missing")
}

// FuzzDecode decodes frames of any bits, one after another, of every kind.
func FuzzDecode(f *testing.F) {
	r := rand.NewChaCha8([32]byte{3})
	for kind := range 27 {
		bytes := make([]byte, 1500)
		_, _ = r.Read(bytes)
		f.Add(uint8(kind), uint8(kind), bytes)
	}
	rates := []int{44100, 48000, 32000, 22050, 24000, 16000, 11025, 12000, 8000}
	versions := []int{1, 2, 25}
	f.Fuzz(func(t *testing.T, kind, joint uint8, bytes []byte) {
		rate := int(kind) % len(rates)
		one := Frame{
			Version: versions[rate/3], Rate: rates[rate], Channels: 1 + int(joint)&1,
			Middle: joint&2 != 0, Intensity: joint&4 != 0,
		}
		var d Decoder
		dst := make([]float32, one.granules()*lines*one.Channels)
		for range 3 {
			n := min(len(bytes), 32)
			one.Side, one.Main = bytes[:n], bytes[n:min(len(bytes), 1473)]
			d.Decode(dst, one)
			for _, x := range dst {
				if x-x != 0 {
					t.Fatal("not a number, or infinite")
				}
			}
			bytes = bytes[len(bytes)/3:]
		}
	})
}
