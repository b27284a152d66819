package onset

import "math"

// biquad is a second-order high-pass section in transposed direct form II. Coefficients: R.
// Bristow-Johnson's cookbook formulae (high-pass, from memory), checked by the tests against the
// Butterworth law. Those of the input are b, -2b and b.
type biquad struct {
	b, a1, a2 float32
	z         [2]float32
}

func highPass(cutoff, rate, q float64) biquad {
	w := 2 * math.Pi * cutoff / rate
	sin, cos := math.Sincos(w)
	alpha := sin / (2 * q)
	a0 := 1 + alpha
	return biquad{
		b: float32((1 + cos) / 2 / a0), a1: float32(-2 * cos / a0), a2: float32((1 - alpha) / a0),
	}
}

// Quality factors of the two sections of a fourth-order Butterworth filter: 1/(2 cos(pi/8)), 1/(2
// cos(3 pi/8)).
const (
	firstQ  = 0.54119610
	secondQ = 1.30656296
)

// cascade is a fourth-order Butterworth high-pass.
type cascade [2]biquad

func butterworth(cutoff, rate float64) cascade {
	return cascade{highPass(cutoff, rate, firstQ), highPass(cutoff, rate, secondQ)}
}

// powers filters whole frames of samples by two cascades and appends the mean square of each frame
// to p and q. A recursive filter waits for its own last output at every step; two side by side fill
// each other's waits.
func powers(c, d *cascade, p, q, samples []float32) (_, _ []float32) {
	s, t, u, v := c[0], c[1], d[0], d[1]
	s1, s2, t1, t2 := s.z[0], s.z[1], t.z[0], t.z[1]
	u1, u2, v1, v2 := u.z[0], u.z[1], v.z[0], v.z[1]
	for len(samples) >= frameSamples {
		var sumC, sumD float32
		for _, x := range samples[:frameSamples] {
			in := s.b * x
			y := in + s1
			s1 = s2 - (in + in + s.a1*y)
			s2 = in - s.a2*y
			in = t.b * y
			y = in + t1
			t1 = t2 - (in + in + t.a1*y)
			t2 = in - t.a2*y
			sumC += y * y

			in = u.b * x
			y = in + u1
			u1 = u2 - (in + in + u.a1*y)
			u2 = in - u.a2*y
			in = v.b * y
			y = in + v1
			v1 = v2 - (in + in + v.a1*y)
			v2 = in - v.a2*y
			sumD += y * y
		}
		p, q = append(p, sumC/frameSamples), append(q, sumD/frameSamples)
		samples = samples[frameSamples:]
	}
	c[0].z, c[1].z = [2]float32{settled(s1), settled(s2)}, [2]float32{settled(t1), settled(t2)}
	d[0].z, d[1].z = [2]float32{settled(u1), settled(u2)}, [2]float32{settled(v1), settled(v2)}
	return p, q
}

// settled is z, or 0 where that is only what is left of silence: values so small become denormal
// numbers, which are slow.
func settled(z float32) float32 {
	if z < 1e-20 && z > -1e-20 {
		return 0
	}
	return z
}
