package exchange

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/robust"
)

// description is what kinds of sound are told apart by.
type description struct {
	Rate      float64 // sharp attacks a second of the time that is busy
	Busy      float64 // share of half seconds with something well above the background
	Sharp     float64 // share of attacks that come out of quiet
	Even      float64 // share of gaps between sharp attacks near the commonest gap
	Periodic  float64 // share of sharp attacks with another one beat of the best pulse later
	Level     float64 // dB, spread of the sharp attacks' levels
	Colour    float64 // spread of their colour
	Thump     float64 // dB, their median power below 1 kHz over above
	Dense     float64 // median concentration
	LowShare  float64 // dB, all of the recording's power below 1 kHz over above
	Modulated float64 // share of the low band's swings that come three to seven times a second
	Silence   float64 // share of the clap band's frames near the background
	Crest     float64 // dB, the clap band's loud frames over its median
}

func describe(a *onset.Analysis) description {
	var d description
	e := a.Envelope
	seconds := e.Seconds()
	if seconds <= 0 {
		return d
	}
	var times, levels, colours, thumps, dense []float64
	for _, x := range a.Attacks {
		if x.Contrast < sharpContrast {
			continue
		}
		times = append(times, x.Time)
		levels, colours = append(levels, decibel(x.Power)), append(colours, x.Colour)
		thumps, dense = append(thumps, x.Thump), append(dense, x.Concentration)
	}
	d.Rate = float64(len(times)) / seconds
	d.Sharp = float64(len(times)) / max(1, float64(len(a.Attacks)))
	d.Level, d.Colour = deviation(levels), deviation(colours)
	d.Thump, d.Dense = upperMedian(thumps), upperMedian(dense)
	d.Even, d.Periodic = evenness(times)
	var low, clap float64
	for i := range e.Clap {
		low, clap = low+float64(e.Low[i]), clap+float64(e.Clap[i])
	}
	d.LowShare = 10 * math.Log10((low+1e-20)/(clap+1e-20))
	d.Modulated = syllables(e.Low)
	d.Busy, d.Silence = busy(a)
	sorted := slices.Clone(e.Clap)
	slices.Sort(sorted)
	n := len(sorted)
	d.Crest = 10 * math.Log10(float64(sorted[n-1-n/200]+1e-14)/float64(sorted[n/2]+1e-14))
	return d
}

const sharpContrast = 9.0 // dB

// upperMedian is the larger of the two middle values where there are two; x is not changed.
func upperMedian(x []float64) float64 { return robust.Upper(slices.Clone(x)) }

// deviation is a robust standard deviation.
func deviation(x []float64) float64 {
	m := upperMedian(x)
	off := make([]float64, len(x))
	for i, v := range x {
		off[i] = math.Abs(v - m)
	}
	return 1.4826 * upperMedian(off)
}

// evenness is the share of gaps within 6 % of the commonest, and the share of attacks followed by
// another after one period of the best pulse between 0.25 and 2 s, within 20 ms, above what chance
// would give.
func evenness(times []float64) (even, periodic float64) {
	if len(times) < 8 {
		return 0, 0
	}
	var gaps []float64
	for i := 1; i < len(times); i++ {
		if g := times[i] - times[i-1]; g < 2.5 {
			gaps = append(gaps, g)
		}
	}
	if len(gaps) == 0 {
		return 0, 0
	}
	for _, g := range gaps {
		n := 0.0
		for _, h := range gaps {
			if math.Abs(math.Log(g/h)) < 0.06 {
				n++
			}
		}
		even = max(even, n/float64(len(gaps)))
	}
	const step, reach = 0.01, 0.02
	chance := min(1, 2*reach*float64(len(times))/(times[len(times)-1]-times[0]))
	for period := 0.25; period < 2; period += step {
		n := 0.0
		k := 0
		for _, t := range times {
			for k < len(times) && times[k] < t+period-reach {
				k++
			}
			if k < len(times) && times[k] <= t+period+reach {
				n++
			}
		}
		periodic = max(periodic, n/float64(len(times))-chance)
	}
	return even, periodic
}

// syllables is the share of the swings of a band's loudness that come between three and seven times
// a second, as syllables do.
func syllables(band []float32) float64 {
	const hop = onset.FrameRate / 50 // 20 ms
	n := len(band) / hop
	y := make([]float64, n)
	for i := range y {
		s := 0.0
		for k := range hop {
			s += float64(band[i*hop+k])
		}
		y[i] = math.Sqrt(s)
	}
	inside, all := 0.0, 0.0
	const block = 200 // 4 s
	for from := 0; from+block <= n; from += block {
		part := y[from : from+block]
		m := mean(part)
		for k := 2; k < 64; k++ { // 0.5 to 16 Hz
			re, im := 0.0, 0.0
			for i, v := range part {
				re += (v - m) * math.Cos(2*math.Pi*float64(k*i)/block)
				im += (v - m) * math.Sin(2*math.Pi*float64(k*i)/block)
			}
			p := re*re + im*im
			all += p
			if k >= 12 && k <= 28 {
				inside += p
			}
		}
	}
	return inside / max(1e-20, all)
}

// busy is the share of half seconds whose loudest 20 ms rise 12 dB above the background, and the
// share of frames near it.
func busy(a *onset.Analysis) (share, silence float64) {
	clap := a.Envelope.Clap
	const block = onset.FrameRate / 2
	blocks, loud, still, frames := 0.0, 0.0, 0.0, 0.0
	for from := 0; from+block <= len(clap); from += block {
		floor := a.ClapFloor(float64(from) * onset.FrameSeconds)
		top := 0.0
		for i := from; i+10 <= from+block; i += 10 {
			s := 0.0
			for k := range 10 {
				s += float64(clap[i+k]) / 10
			}
			top = max(top, s)
			frames++
			if s < 3*floor {
				still++
			}
		}
		blocks++
		if top > 16*floor {
			loud++
		}
	}
	return loud / max(1, blocks), still / max(1, frames)
}
