package onset

import "math"

// Nearest finds the attack closest to a time in constant time.
type Nearest struct {
	times []float64 // of the attacks, seconds
	table []int32
}

const nearestStep = 0.005 // seconds

// NewNearest looks at attacks in order of time, in a recording of so many seconds.
func NewNearest(attacks []Attack, seconds float64) Nearest {
	n := Nearest{times: make([]float64, len(attacks)), table: make([]int32, int(seconds/nearestStep)+2)}
	for i, a := range attacks {
		n.times[i] = a.Time
	}
	k := 0
	for i := range n.table {
		at := float64(i) * nearestStep
		for k+1 < len(attacks) && math.Abs(n.times[k+1]-at) <= math.Abs(n.times[k]-at) {
			k++
		}
		n.table[i] = int32(k)
	}
	return n
}

// Index is the attack nearest to t, or -1 where none lies within reach seconds.
func (n *Nearest) Index(t, reach float64) int {
	if len(n.times) == 0 || t < -reach {
		return -1
	}
	i := int(n.table[min(max(int(t/nearestStep+0.5), 0), len(n.table)-1)])
	if math.Abs(n.times[i]-t) > reach {
		return -1
	}
	return i
}
