package audio

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/gonum"
)

// The low-pass of the resampler, relative to half the lower of the two rates. At
// 16 kHz it passes to 7.2 kHz and stops from 8.8 kHz: what folds back lands
// above 7.2 kHz.
const (
	passEdge    = 0.9
	stopEdge    = 1.1
	attenuation = 80 // dB
	maxPhases   = 640
)

// resampler changes the rate of a mono signal by a windowed sinc, one branch of
// the filter for each position between two input samples (polyphase form). Its
// phase is linear and its delay taken out: output n is the input at time n/Rate,
// silence being assumed before the first and after the last sample.
//
// Window: Kaiser's, with his formulas for shape and length (Kaiser 1974; Oppenheim
// & Schafer, Discrete-Time Signal Processing, section "FIR filter design by the
// Kaiser window method").
type resampler struct {
	up, down int         // output rate : input rate, in lowest terms
	taps     int         // of one branch, even
	branches [][]float32 // for position k/len between two samples, plus one at 1
	input    []float32   // history and new samples
	base     int64       // position of input[0]
	next     int64       // number of the next output sample
}

func newResampler(rate int) *resampler {
	g := gcd(rate, Rate)
	r := &resampler{up: Rate / g, down: rate / g}
	if r.up == r.down {
		return r
	}
	lower := float64(min(rate, Rate))
	width := (stopEdge - passEdge) * lower / 2 / float64(rate) // cycles a sample
	cut := (stopEdge + passEdge) / 2 * lower / 2 / float64(rate)
	order := (attenuation - 7.95) / (2.285 * 2 * math.Pi * width)
	r.taps = (int(math.Ceil(order)) + 8) / 8 * 8
	beta := 0.1102 * (attenuation - 8.7)
	phases := min(r.up, maxPhases) // beyond that, interpolate between two branches
	table := make([]float32, (phases+1)*r.taps)
	for k := range phases + 1 {
		branch := table[k*r.taps : (k+1)*r.taps]
		sum := 0.0
		h := make([]float64, r.taps)
		for j := range h {
			d := float64(r.taps/2-1-j) + float64(k)/float64(phases)
			h[j] = sinc(2*cut*d) * kaiser(d/float64(r.taps/2), beta)
			sum += h[j]
		}
		for j := range h {
			branch[j] = float32(h[j] / sum) // each branch passes a constant unchanged
		}
		r.branches = append(r.branches, branch)
	}
	// The first output needs taps/2-1 samples before sample 0.
	r.input = make([]float32, r.taps/2-1, 1<<15)
	r.base = -int64(r.taps/2 - 1)
	return r
}

// push appends the output for samples to dst.
func (r *resampler) push(dst, samples []float32) []float32 {
	if r.up == r.down {
		return append(dst, samples...)
	}
	r.input = append(r.input, samples...)
	return r.drain(dst)
}

// finish appends what is left once all samples have been pushed. In all there is
// one output sample for each n >= 0 with n/Rate before the end of the input.
func (r *resampler) finish(dst []float32) []float32 {
	if r.up == r.down {
		return dst
	}
	r.input = append(r.input, make([]float32, r.taps/2)...)
	return r.drain(dst)
}

func (r *resampler) drain(dst []float32) []float32 {
	var blas32 gonum.Implementation
	phases := len(r.branches) - 1
	if phases == r.up && r.down >= r.taps {
		dst = r.drainTogether(dst)
	}
	first, part := r.place()
	for ; first+r.taps <= len(r.input); r.next++ {
		// The branch, being aligned, makes the order of the sum the same each time.
		window := r.input[first : first+r.taps]
		if phases == r.up {
			dst = append(dst, blas32.Sdot(r.taps, window, 1, r.branches[part], 1))
		} else {
			at := float64(part) / float64(r.up) * float64(phases)
			k := int(at)
			f := float32(at - float64(k))
			a := blas32.Sdot(r.taps, window, 1, r.branches[k], 1)
			b := blas32.Sdot(r.taps, window, 1, r.branches[k+1], 1)
			dst = append(dst, a+f*(b-a))
		}
		for part += r.down; part >= r.up; part -= r.up {
			first++
		}
	}
	// Keep what the next output needs.
	if first > 0 {
		first = min(first, len(r.input))
		n := copy(r.input, r.input[first:])
		r.input = r.input[:n]
		r.base += int64(first)
	}
	return dst
}

// periods is how many times up outputs are made together.
const periods = 8

// drainTogether makes outputs as long as there is input for periods of them. Those
// with the same branch, which need input down samples apart, are made one after the
// other: all branches together are more than the fastest memory holds.
func (r *resampler) drainTogether(dst []float32) []float32 {
	var (
		blas32 gonum.Implementation
		same   [periods]float32
	)
	for {
		first, part := r.place()
		if first+periods*r.down+r.taps > len(r.input) {
			return dst
		}
		start := len(dst)
		dst = slices.Grow(dst, periods*r.up)[:start+periods*r.up]
		for n := range r.up {
			blas32.Sgemv(blas.NoTrans, periods, r.taps, 1, r.input[first:], r.down,
				r.branches[part], 1, 0, same[:], 1)
			for k, y := range same {
				dst[start+n+k*r.up] = y
			}
			for part += r.down; part >= r.up; part -= r.up {
				first++
			}
		}
		r.next += int64(periods * r.up)
	}
}

// place is where in the input the next output begins to need it, and its branch.
func (r *resampler) place() (first, part int) {
	position := r.next * int64(r.down)
	return int(position/int64(r.up) - int64(r.taps/2-1) - r.base), int(position % int64(r.up))
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// kaiser is Kaiser's window for x from -1 to 1.
func kaiser(x, beta float64) float64 {
	if x < -1 || x > 1 {
		return 0
	}
	return bessel0(beta*math.Sqrt(1-x*x)) / bessel0(beta)
}

// bessel0 is the modified Bessel function of the first kind and order zero, by
// its power series (Abramowitz & Stegun 9.6.12).
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > 1e-17*sum; k++ {
		term *= (x / 2 / k) * (x / 2 / k)
		sum += term
	}
	return sum
}
