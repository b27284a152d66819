package ability

import "math"

// A second try at a phrase goes better. It is taken to be easier by
// practiceGain, known to practiceSD only, and a third by practiceTotal; later
// ones gain no more, because what has not come by then needs teaching. The error
// of the phrase's difficulty is the same in every try. Our choice, no source.
const (
	practiceGain  = 0.4
	practiceTotal = 0.6
	practiceSD    = 0.3
)

// practice returns the expected gain of a try, in tiers, and its variance.
func practice(attempt int) (gain, variance float64) {
	switch {
	case attempt <= 1:
		return 0, 0
	case attempt == 2:
		return practiceGain, practiceSD * practiceSD
	default:
		return practiceTotal, practiceSD * practiceSD
	}
}

// An outlier says nothing about the group. Its share is even between 0 and 1,
// its verdict equally likely any.
const (
	outlierShare   = 1.0
	outlierVerdict = 1.0 / 3
	outlierPerson  = 1.0 / 2
)

// farOutside is by how many standard errors a share may lie outside 0–1; one farther
// off is read as that far, not as an outlier.
const farOutside = 2

// round is an observation made ready: constants of its likelihood.
type round struct {
	difficulty  float64 // less the gain of practice
	share       float64
	reading     *Reading
	verdict     Verdict
	measurement float64 // variance of the share
	perPerson   float64 // 1/N
	got         float64 // of one person: the chance that they got it, by the measured share alone
	gain        float64 // variance of the gain of practice, tiers²
	trust       float64 // chance that it is what it seems
	outlier     float64 // likelihood if it is not, times its chance
}

func newRound(o Observation) round {
	gain, variance := practice(o.Attempt)
	r := round{
		difficulty: o.Difficulty - gain,
		share:      o.Share,
		reading:    o.Reading,
		verdict:    o.Verdict,
		gain:       variance,
		trust:      (1 - baseDoubt) * (1 - o.Doubt),
	}
	r.measurement, r.perPerson = o.noise().variances()
	least, _, below := r.heardOf(0)
	most, _, above := r.heardOf(1)
	r.share = min(max(r.share, least-farOutside*math.Sqrt(below)), most+farOutside*math.Sqrt(above))
	density := outlierShare
	switch {
	case r.verdict != NoVerdict:
		density = outlierVerdict
	case r.perPerson == 1:
		density = outlierPerson
		r.got = 1 / (1 + math.Exp(-(r.share-0.5)/r.measurement))
	}
	r.outlier = (1 - r.trust) * density
	return r
}

// heardOf is the share heard where the true one is p: its mean, how fast that rises, and the
// variance of the measurement.
func (r *round) heardOf(p float64) (mean, slope, variance float64) {
	if r.reading == nil {
		return p, 1, r.measurement
	}
	return r.reading.At(p)
}

// core is the likelihood of a sound round where the curve of discrimination a
// has the share p, with its within and luck.
//
// The share is normal about p, or about what the reading makes of p, with the variance of the
// measurement, of chance among the people (luck/N: their answers, and how their abilities lie about
// the level and spread they have) and of the unknown gain of practice. A measured share may lie
// outside 0–1 and says the more for it. One person has got it or has not: the measured share,
// normal about 1 or 0, says how likely each is.
func (r *round) core(p, within, luck, a float64) float64 {
	steep := a * within // dp/dx: the logistic's derivative is P(1−P)
	mean, slope, variance := r.heardOf(p)
	variance += slope * slope * (luck*r.perPerson + steep*steep*r.gain)
	switch {
	case r.verdict != NoVerdict:
		return verdictChance(r.verdict, p, math.Sqrt(variance))
	case r.perPerson == 1:
		return p*r.got + (1-p)*(1-r.got)
	}
	d := r.share - mean
	return math.Exp(-d*d/(2*variance)) / math.Sqrt(2*math.Pi*variance)
}

// upperTail is the chance that a standard normal variable exceeds z.
func upperTail(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }

// times multiplies dst[i] by the likelihood of the round at level first +
// i·levelStep, for phrases exactly as hard as stated.
func (r *round) times(dst []float64, first float64, c *curve) {
	at := (first-r.difficulty)/curveStep + float64(curveHalf)
	index := int(math.Floor(at))
	fraction := at - float64(index)
	const last = 2*curveHalf - 1
	for i := range dst {
		j, f := index, fraction
		if j < 0 {
			j, f = 0, 0
		} else if j > last {
			j, f = last, 1
		}
		p := c.share[j] + f*(c.share[j+1]-c.share[j])
		w := c.within[j] + f*(c.within[j+1]-c.within[j])
		l := c.luck[j] + f*(c.luck[j+1]-c.luck[j])
		dst[i] *= r.trust*r.core(p, w, l, c.discrimination) + r.outlier
		index += levelStride
	}
}

// kernel returns the weights, at steps of levelStep, of a normal error with the
// given standard deviation, for the integral over the error of a phrase's
// difficulty. They sum to 1 and their number is odd.
func kernel(sd float64) []float64 {
	reach := int(math.Ceil(3.5 * sd / levelStep))
	weights := make([]float64, 2*reach+1)
	total := 0.0
	for i := range weights {
		x := float64(i-reach) * levelStep
		if sd > 0 {
			// The mass of the normal within half a step, so that errors much
			// smaller than a step keep their variance.
			weights[i] = upperTail((x-levelStep/2)/sd) - upperTail((x+levelStep/2)/sd)
		} else {
			weights[i] = 1
		}
		total += weights[i]
	}
	for i := range weights {
		weights[i] /= total
	}
	return weights
}

// smooth writes to dst[i] the sum of weights[j]·src[i+j]; src is longer than
// dst by len(weights)−1.
func smooth(dst, src, weights []float64) {
	for i := range dst {
		sum := 0.0
		window := src[i : i+len(weights)]
		for j, w := range weights {
			sum += w * window[j]
		}
		dst[i] = sum
	}
}
