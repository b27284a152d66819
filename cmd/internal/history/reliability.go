package history

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Reliability says how often the chances that openers were given came true. An opener came true
// where it was got: a chance is about 7 in 10 people managing the piece, and partly means about
// half of them.
type Reliability struct {
	Cases int    // outcomes with a stated chance
	Bands []Band // of chances, lowest first; none is empty
	// Brier is the mean square of chance less outcome (Brier 1950, Monthly Weather Review 78, 1-3):
	// 0 is perfect, 0.25 what always saying one half gets. Low and High are a 90 % interval by
	// Student's t; from fewer than minBrier cases they are 0 and 1.
	Brier, BrierLow, BrierHigh float64
}

// Band is the outcomes whose stated chance lies in a range.
type Band struct {
	From, To float64 // of the chance
	Cases    int
	Stated   float64 // mean chance
	Came     int     // true
	// of the share that comes true: 90 % interval (Wilson 1927, J. American Statistical Association
	// 22, 209-212)
	Low, High float64
}

// The bands of chances: unlikely, even, likely, all but sure. Our choice, no source.
var bandEdges = []float64{0, 1.0 / 3, 2.0 / 3, 0.9, 1}

const minBrier = 8

// came is 1 for an opener that came true, else 0.
func (o Outcome) came() float64 {
	if o.Heard == "got" {
		return 1
	}
	return 0
}

// NewReliability sums up outcomes; those without a chance are left out.
func NewReliability(outcomes []Outcome) Reliability {
	r := Reliability{BrierHigh: 1}
	bands := make([]Band, len(bandEdges)-1)
	var sum, square float64
	for _, o := range outcomes {
		if o.Chance == nil {
			continue
		}
		r.Cases++
		miss := (*o.Chance - o.came()) * (*o.Chance - o.came())
		sum, square = sum+miss, square+miss*miss
		i := 0
		for i < len(bands)-1 && *o.Chance >= bandEdges[i+1] {
			i++
		}
		bands[i].Cases++
		bands[i].Stated += *o.Chance
		bands[i].Came += int(o.came())
	}
	for i, b := range bands {
		if b.Cases == 0 {
			continue
		}
		b.From, b.To, b.Stated = bandEdges[i], bandEdges[i+1], b.Stated/float64(b.Cases)
		b.Low, b.High = wilson(b.Came, b.Cases)
		r.Bands = append(r.Bands, b)
	}
	if r.Cases == 0 {
		return r
	}
	n := float64(r.Cases)
	r.Brier = sum / n
	if r.Cases >= minBrier {
		half := student(n-1) * math.Sqrt(max(square/n-r.Brier*r.Brier, 0)/(n-1))
		r.BrierLow, r.BrierHigh = max(r.Brier-half, 0), min(r.Brier+half, 1)
	}
	return r
}

// wilson is the 90 % interval of a share from n cases.
func wilson(came, n int) (low, high float64) {
	share, z, size := float64(came)/float64(n), normal95, float64(n)
	middle := (share + z*z/(2*size)) / (1 + z*z/size)
	half := z / (1 + z*z/size) * math.Sqrt(share*(1-share)/size+z*z/(4*size*size))
	return max(middle-half, 0), min(middle+half, 1)
}

// student is the 95 % quantile of Student's t, by the inverse of the incomplete beta function
// (Abramowitz and Stegun 26.5.27). The distributions of the same module bring a whole linear
// algebra along, a third of the browser's program.
func student(freedom float64) float64 {
	x := mathext.InvRegIncBeta(freedom/2, 0.5, 2*(1-0.95))
	return math.Sqrt(freedom * (1 - x) / x)
}
