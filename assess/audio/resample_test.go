package audio

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var testRates = []int{
	4000, 8000, 11025, 12000, 22050, 24000, 32000, 37800, 44056, 44100, 47999,
	48000, 88200, 96000, 176400, 192000,
}

func resampleAll(rate int, in []float32) []float32 {
	r := newResampler(rate)
	return r.finish(r.push(nil, in))
}

// center is the energy centre of x in samples.
func center(x []float32) float64 {
	sum, weight := 0.0, 0.0
	for i, v := range x {
		p := float64(v) * float64(v)
		sum += p * float64(i)
		weight += p
	}
	return sum / weight
}

func TestClickStaysInTimeAtEveryRate(t *testing.T) {
	for _, rate := range testRates {
		signed, count := 0.0, 0
		for _, at := range []float64{0.01, 0.0131, 0.02, 0.0333, 0.05} {
			in := make([]float32, rate/5)
			i := int(math.Round(at * float64(rate)))
			in[i] = 1
			out := resampleAll(rate, in)
			// The centre of the response to a click is the click.
			err := center(out)/Rate - float64(i)/float64(rate)
			assert.InDelta(t, 0, err, 1e-5, "%d Hz, click at %d", rate, i)
			signed += err
			count++
		}
		assert.InDelta(t, 0, signed/float64(count), 5e-6, "mean signed error at %d Hz", rate)
	}
}

func TestClickAtSampleZeroStaysAtZero(t *testing.T) {
	for _, rate := range testRates {
		in := make([]float32, rate/10)
		in[0] = 1
		out := resampleAll(rate, in)
		peak := 0
		for i, v := range out {
			if v > out[peak] {
				peak = i
			}
		}
		assert.Zero(t, peak, "%d Hz", rate)
		later := make([]float32, rate/10)
		later[rate/20] = 1
		shifted := resampleAll(rate, later)
		if rate/20*Rate%rate == 0 {
			k := rate / 20 * Rate / rate
			for i := range 50 {
				require.InDelta(t, shifted[k+i], out[i], 1e-6,
					"%d Hz: the response must not depend on the edge", rate)
			}
		}
	}
}

func TestSinesKeepLevelAndPhaseOrVanish(t *testing.T) {
	for _, rate := range testRates {
		lower := float64(min(rate, Rate)) / 2
		for _, f := range []float64{50, 440, 0.5 * lower, 0.85 * lower, 1.15 * lower, 0.45 * float64(rate)} {
			if f > 0.49*float64(rate) {
				continue
			}
			in := make([]float32, rate)
			for i := range in {
				in[i] = float32(math.Sin(2*math.Pi*f*float64(i)/float64(rate) + 0.3))
			}
			out := resampleAll(rate, in)
			require.Len(t, out, Rate)
			worst, level := 0.0, 0.0
			for i := Rate / 4; i < 3*Rate/4; i++ {
				want := math.Sin(2*math.Pi*f*float64(i)/Rate + 0.3)
				worst = math.Max(worst, math.Abs(float64(out[i])-want))
				level += float64(out[i]) * float64(out[i])
			}
			db := 10 * math.Log10(level/(Rate/2)/0.5)
			name := fmt.Sprintf("%.0f Hz at %d Hz", f, rate)
			switch {
			case f <= 0.9*lower:
				assert.Less(t, worst, 0.002, name)
			case f >= 1.1*lower:
				assert.Less(t, db, -75.0, name)
			}
		}
	}
}

func TestOutputLengthIsTheInputsDuration(t *testing.T) {
	for _, rate := range append(testRates, Rate) {
		for _, n := range []int{1, 2, 3, 100, 441, 4410, 12345} {
			want := int(math.Ceil(float64(n) * Rate / float64(rate)))
			assert.Len(t, resampleAll(rate, make([]float32, n)), want, "%d samples at %d Hz", n, rate)
		}
	}
}

func TestPiecesDoNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for _, rate := range testRates {
		in := make([]float32, 3*rate/10)
		for i := range in {
			in[i] = float32(rng.NormFloat64())
		}
		want := resampleAll(rate, in)
		r := newResampler(rate)
		var got []float32
		for rest := in; len(rest) > 0; {
			n := min(len(rest), 1+rng.IntN(500))
			got = r.push(got, rest[:n])
			rest = rest[n:]
		}
		got = r.finish(got)
		require.Equal(t, want, got, "%d Hz", rate)
	}
}

// The window against Kaiser's values in Abramowitz & Stegun, table 9.8: I0(1),
// I0(2), I0(5).
func TestBesselTable(t *testing.T) {
	assert.InDelta(t, 1.266065878, bessel0(1), 1e-9)
	assert.InDelta(t, 2.279585302, bessel0(2), 1e-9)
	assert.InDelta(t, 27.239871824, bessel0(5), 1e-8)
}
