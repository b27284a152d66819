package onset

import "math"

// Kernel is how the power of one clap arrives at the phone: a share that comes at once and decays
// as the clap itself does, and the room's tail. Both are exponentials, of unit energy in sum.
type Kernel struct {
	Direct float64 // share of the energy in the direct sound, 0 to 1
	Decay  float64 // decay time of the room's power to 1/e, seconds; RT60 / 13.8
}

// clapDecay is the decay time of a dry clap's power, seconds: 90 % of the energy within 10 ms in
// close recordings of single claps gives 10 ms / ln 10 = 4.3 ms, half within 0.9 ms gives 1.3 ms;
// the value lies between.
const clapDecay = 0.003

// shapeResolution is the step of a shape's table, seconds.
const shapeResolution = 0.0005

// Shape is the expected power over time of one burst: claps spread by a normal law, each arriving
// by a [Kernel]. It integrates to 1 over time in seconds. Read-only once made.
type Shape struct {
	from  float64 // time of the first table entry relative to the centre, seconds
	table []float64
}

// NewShape tabulates a burst whose clap times have standard deviation spread seconds (0 for one
// clap). The tail is followed until five decay times.
func NewShape(k Kernel, spread float64) *Shape {
	spread = max(spread, 0.0005)
	decay := max(k.Decay, clapDecay)
	from := -4 * spread
	to := 4*spread + 5*decay
	s := &Shape{from: from, table: make([]float64, int((to-from)/shapeResolution)+2)}
	for i := range s.table {
		t := from + float64(i)*shapeResolution
		direct, tail := smearedDecay(t, spread, clapDecay), smearedDecay(t, spread, decay)
		s.table[i] = k.Direct*direct + (1-k.Direct)*tail
	}
	return s
}

// smearedDecay is the density of the sum of a normal variable (standard deviation s) and an
// exponential one (mean tau) at t: the exponentially modified normal law.
func smearedDecay(t, s, tau float64) float64 {
	u := (s/tau - t/s) / math.Sqrt2
	if u > 5 { // erfc(u) exp(u^2) by its asymptotic series; the factors alone would overflow
		g := math.Exp(-t*t/(2*s*s)) / (u * math.Sqrt(math.Pi)) * (1 - 1/(2*u*u))
		return g / (2 * tau)
	}
	return math.Exp(s*s/(2*tau*tau)-t/tau) * math.Erfc(u) / (2 * tau)
}

// At is the power density at t seconds after the centre of the burst, per second.
func (s *Shape) At(t float64) float64 {
	x := (t - s.from) / shapeResolution
	if x < 0 {
		return 0
	}
	i := int(x)
	if i+1 >= len(s.table) {
		return 0
	}
	f := x - float64(i)
	return s.table[i]*(1-f) + s.table[i+1]*f
}

// Reach is the span of the shape around its centre, seconds: zero power before centre+from and
// after centre+to.
func (s *Shape) Reach() (from, to float64) {
	return s.from, s.from + float64(len(s.table)-1)*shapeResolution
}
