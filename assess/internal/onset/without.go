package onset

import "slices"

// How an attack is taken out, see Without.
const (
	outBefore = 2   // frames before its time where an attack may begin to show
	outUntil  = 2   // frames before the next attack up to which it is taken out
	outMost   = 150 // frames: 0.3 s, where all but a long room has forgotten it
)

// Without is the analysis with some attacks taken out, named by their indices in ascending order,
// and their sound with them: up to the next attack that stays, or for as long as a stroke rings, no
// band is louder than it was before. Background and room stay as they were measured. The analysis
// itself is not changed.
func (a *Analysis) Without(attacks []int) *Analysis {
	out := &Analysis{
		Envelope: &Envelope{Low: slices.Clone(a.Envelope.Low), Clap: slices.Clone(a.Envelope.Clap)},
		Attacks:  make([]Attack, 0, len(a.Attacks)-len(attacks)), Kernel: a.Kernel, floors: a.floors,
	}
	n, next := a.Envelope.Frames(), 0
	for i, x := range a.Attacks {
		if next == len(attacks) || attacks[next] != i {
			out.Attacks = append(out.Attacks, x)
			continue
		}
		next++
		from := max(0, int(x.Time*FrameRate)-outBefore)
		to := min(n, from+outMost)
		for k, left := i+1, next; k < len(a.Attacks); k++ {
			if left < len(attacks) && attacks[left] == k {
				left++
				continue
			}
			to = min(to, max(from, int(a.Attacks[k].Time*FrameRate)-outUntil))
			break
		}
		for _, band := range [...][]float32{out.Envelope.Low, out.Envelope.Clap} {
			quieten(band, from, to)
		}
	}
	return out
}

// quieten bounds the frames from one on up to another by the mean of those just before.
func quieten(band []float32, from, to int) {
	past := band[max(0, from-attackBody):from]
	var most float32
	for _, x := range past {
		most += x / float32(len(past))
	}
	for i := from; i < to; i++ {
		band[i] = min(band[i], most)
	}
}
