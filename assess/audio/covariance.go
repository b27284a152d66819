package audio

import "math"

// covariance sums products of channels, freed from the mean of each block.
type covariance struct {
	channels int
	sums     []float64 // channels x channels
}

func newCovariance(channels int) covariance {
	return covariance{channels, make([]float64, channels*channels)}
}

// measure takes every third frame, which is plenty for sums over half a second.
func (v *covariance) measure(block []float32) {
	n := v.channels
	means := make([]float64, n)
	count := 0
	for i := 0; i+n <= len(block); i += 3 * n {
		for a := range n {
			x := float64(block[i+a])
			means[a] += x
			for b := a; b < n; b++ {
				v.sums[a*n+b] += x * float64(block[i+b])
			}
		}
		count++
	}
	for a := range n {
		for b := a; b < n; b++ {
			v.sums[a*n+b] -= means[a] * means[b] / float64(count)
			v.sums[b*n+a] = v.sums[a*n+b]
		}
	}
}

func (v *covariance) add(o covariance) {
	for i, x := range o.sums {
		v.sums[i] += x
	}
}

func (v *covariance) at(a, b int) float64 { return v.sums[a*v.channels+b] }

// correlation is 0 where one of the channels is silent.
func (v *covariance) correlation(a, b int) float64 {
	scale := math.Sqrt(v.at(a, a) * v.at(b, b))
	if !(scale > 1e-12) {
		return 0
	}
	return v.at(a, b) / scale
}
