package layer3

import "math"

// Cosine transforms of the second kind: X_m is the sum over n of x_n cos(pi/N (n+1/2) m). Even
// values are those of half the length, of the sums of mirrored x. Odd ones are B_m + B_(m+1) of the
// transform B of the differences, each divided by 2 cos(pi/N (n+1/2) / 2) (B. G. Lee, "A new
// algorithm to compute the discrete cosine transform", IEEE ASSP-32, 1984). All of them work in
// place.

// lee is 1 / (2 cos(pi (2n+1) / (2 length))), which goes with a transform of that length.
func lee(length, n int) float32 {
	return float32(0.5 / math.Cos(math.Pi*float64(2*n+1)/float64(2*length)))
}

var (
	lee4, lee8, lee16, lee32, lee18, lee36 = leeTable(4), leeTable(8), leeTable(16), leeTable(32),
		leeTable(18), leeTable(36)

	cosines12 = func() (c [6][6]float32) { // of the fourth kind
		for n := range c {
			for k := range c[n] {
				c[n][k] = float32(math.Cos(math.Pi / 24 * float64((2*n+1)*(2*k+1))))
			}
		}
		return c
	}()

	// cosines9 are cos(pi/18 n).
	cosines9 = func() (c [9]float32) {
		for n := range c {
			c[n] = float32(math.Cos(math.Pi / 18 * float64(n)))
		}
		return c
	}()
)

func leeTable(length int) (t [18]float32) {
	for n := range length / 2 {
		t[n] = lee(length, n)
	}
	return t
}

func cosine4(x *[4]float32) {
	const root = math.Sqrt2 / 2
	a, b := x[0]+x[3], x[1]+x[2]
	c, d := (x[0]-x[3])*lee4[0], (x[1]-x[2])*lee4[1]
	e := (c - d) * root
	x[0], x[2] = a+b, (a-b)*root
	x[1], x[3] = c+d+e, e
}

func cosine8(x *[8]float32) {
	var even, odd [4]float32
	for n := range even {
		even[n], odd[n] = x[n]+x[7-n], (x[n]-x[7-n])*lee8[n]
	}
	cosine4(&even)
	cosine4(&odd)
	x[0], x[2], x[4], x[6] = even[0], even[1], even[2], even[3]
	x[1], x[3], x[5], x[7] = odd[0]+odd[1], odd[1]+odd[2], odd[2]+odd[3], odd[3]
}

func cosine16(x *[16]float32) {
	var even, odd [8]float32
	for n := range even {
		even[n], odd[n] = x[n]+x[15-n], (x[n]-x[15-n])*lee16[n]
	}
	cosine8(&even)
	cosine8(&odd)
	for n := range 7 {
		x[2*n], x[2*n+1] = even[n], odd[n]+odd[n+1]
	}
	x[14], x[15] = even[7], odd[7]
}

func cosine32(x *[32]float32) {
	var even, odd [16]float32
	for n := range even {
		even[n], odd[n] = x[n]+x[31-n], (x[n]-x[31-n])*lee32[n]
	}
	cosine16(&even)
	cosine16(&odd)
	for n := range 15 {
		x[2*n], x[2*n+1] = even[n], odd[n]+odd[n+1]
	}
	x[30], x[31] = even[15], odd[15]
}

// cosine18 works on the first 18 values; the last one stays 0.
func cosine18(x *[19]float32) {
	var even, odd [9]float32
	for n := range even {
		even[n], odd[n] = x[n]+x[17-n], (x[n]-x[17-n])*lee18[n]
	}
	cosine9(&even)
	cosine9(&odd)
	for n := range 8 {
		x[2*n], x[2*n+1] = even[n], odd[n]+odd[n+1]
	}
	x[16], x[17] = even[8], odd[8]
}

// cosine9 sums up plainly, even values from sums of mirrored x and odd ones from differences.
func cosine9(x *[9]float32) {
	c := &cosines9
	s0, s1, s2, s3, s4 := x[0]+x[8], x[1]+x[7], x[2]+x[6], x[3]+x[5], x[4]
	d0, d1, d2, d3 := x[0]-x[8], x[1]-x[7], x[2]-x[6], x[3]-x[5]
	x[0] = s0 + s1 + s2 + s3 + s4
	x[2] = s0*c[2] + s1*c[6] - s2*c[8] - s3*c[4] - s4
	x[4] = s0*c[4] - s1*c[6] - s2*c[2] + s3*c[8] + s4
	x[6] = (s0+s2+s3)*c[6] - s1 - s4
	x[8] = s0*c[8] - s1*c[6] + s2*c[4] - s3*c[2] + s4
	x[1] = d0*c[1] + d1*c[3] + d2*c[5] + d3*c[7]
	x[3] = d0*c[3] - d2*c[3] - d3*c[3]
	x[5] = d0*c[5] - d1*c[3] - d2*c[7] + d3*c[1]
	x[7] = d0*c[7] - d1*c[3] + d2*c[1] - d3*c[5]
}
