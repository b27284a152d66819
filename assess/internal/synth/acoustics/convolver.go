package acoustics

import (
	"gonum.org/v1/gonum/dsp/fourier"
)

// Convolver adds sources with their rooms to a recording, block by block (overlap-add). Silent
// blocks cost nothing.
type Convolver struct {
	fft      *fourier.FFT
	size     int
	block    int
	response [][]complex128 // spectrum of each room response, scaled by 1/size
}

// NewConvolver prepares for room responses of equal length.
func NewConvolver(responses ...[]float64) *Convolver {
	longest := 0
	for _, r := range responses {
		longest = max(longest, len(r))
	}
	size := 4096
	for size < 2*longest {
		size *= 2
	}
	c := &Convolver{fft: fourier.NewFFT(size), size: size, block: size - longest + 1}
	padded := make([]float64, size)
	for _, r := range responses {
		clear(padded)
		copy(padded, r)
		spectrum := c.fft.Coefficients(nil, padded)
		for i := range spectrum {
			spectrum[i] /= complex(float64(size), 0)
		}
		c.response = append(c.response, spectrum)
	}
	return c
}

// Add convolves and adds to dst. fill writes the source of channel k, from sample start on, into a
// zeroed block and reports whether there is anything; channel k goes through response k.
func (c *Convolver) Add(dst []float32, fill func(k int, block []float64, start int) bool) {
	in := make([]float64, c.size)
	out := make([]float64, c.size)
	var spectrum []complex128
	sum := make([]complex128, c.size/2+1)
	for start := 0; start < len(dst); start += c.block {
		any := false
		clear(sum)
		for k := range c.response {
			clear(in)
			if !fill(k, in[:c.block], start) {
				continue
			}
			any = true
			spectrum = c.fft.Coefficients(spectrum, in)
			for i, v := range spectrum {
				sum[i] += v * c.response[k][i]
			}
		}
		if !any {
			continue
		}
		c.fft.Sequence(out, sum)
		for i, v := range out[:min(c.size, len(dst)-start)] {
			dst[start+i] += float32(v)
		}
	}
}
