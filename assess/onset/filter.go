package onset

import "math"

// biquad is a second-order high-pass section in transposed direct form II.
// Coefficients: R. Bristow-Johnson's cookbook formulae (high-pass, from memory), checked by the tests against the Butterworth law.
type biquad struct {
	b0, b1, b2, a1, a2 float32
	z1, z2             float32
}

func highPass(cutoff, rate, q float64) biquad {
	w := 2 * math.Pi * cutoff / rate
	sin, cos := math.Sincos(w)
	alpha := sin / (2 * q)
	a0 := 1 + alpha
	return biquad{
		b0: float32((1 + cos) / 2 / a0), b1: float32(-(1 + cos) / a0), b2: float32((1 + cos) / 2 / a0),
		a1: float32(-2 * cos / a0), a2: float32((1 - alpha) / a0),
	}
}

// Quality factors of the two sections of a fourth-order Butterworth filter: 1/(2 cos(pi/8)), 1/(2 cos(3 pi/8)).
const (
	firstQ  = 0.54119610
	secondQ = 1.30656296
)

// cascade is a fourth-order Butterworth high-pass.
type cascade [2]biquad

func butterworth(cutoff, rate float64) cascade {
	return cascade{highPass(cutoff, rate, firstQ), highPass(cutoff, rate, secondQ)}
}

// run filters in into out (same length, may be the same slice).
func (c *cascade) run(out, in []float32) {
	s, t := c[0], c[1]
	for i, x := range in {
		y := s.b0*x + s.z1
		s.z1 = s.b1*x - s.a1*y + s.z2
		s.z2 = s.b2*x - s.a2*y
		v := t.b0*y + t.z1
		t.z1 = t.b1*y - t.a1*v + t.z2
		t.z2 = t.b2*y - t.a2*v
		out[i] = v
	}
	// Values this small are silence; left alone they become denormal numbers, which are slow.
	for _, z := range []*float32{&s.z1, &s.z2, &t.z1, &t.z2} {
		if *z < 1e-20 && *z > -1e-20 {
			*z = 0
		}
	}
	c[0], c[1] = s, t
}
