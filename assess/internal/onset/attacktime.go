package onset

import "math"

// AttackTime is the mean time of the claps around a time in seconds, weighted by how sharply the
// clap band rises: what rises is the start of a clap, whatever the room does with it afterwards.
// Weights are compressed, so that the nearest pair of hands counts little more than the others.
// Where nothing rises it is the time given.
func (a *Analysis) AttackTime(around float64) float64 {
	clap := a.Envelope.Clap
	at := around
	for range attackTimeRounds {
		from := max(attackTimePast, int((at-attackTimeReach)*FrameRate))
		to := min(len(clap)-1, int((at+attackTimeReach)*FrameRate))
		var sum, moment float64
		for i := from; i <= to; i++ {
			before := clap[i-1]
			for _, x := range clap[i-attackTimePast : i-1] {
				before = max(before, x)
			}
			if clap[i] > before {
				weight := math.Pow(float64(clap[i]-before), attackTimePower)
				sum += weight
				moment += weight * (float64(i) + 0.5)
			}
		}
		if sum == 0 {
			return around
		}
		at = moment / sum * FrameSeconds
	}
	return at
}
