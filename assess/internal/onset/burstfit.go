package onset

import "math"

// fitter fits bursts in order of time; the tails of those fitted are the background of what
// follows.
type fitter struct {
	clap   []float32
	past   []float64               // modelled power of earlier bursts and of the floor, by frame
	shapes [len(fitSpreads)]*Shape // of groups
	one    *Shape                  // of a single clap
	misfit float64                 // of all groups fitted so far, each over its power
}

// newFitter prepares fitting with the kernel of a group's claps.
func newFitter(a *Analysis, group Kernel) *fitter {
	f := &fitter{clap: a.Envelope.Clap, past: make([]float64, a.Envelope.Frames())}
	for i := range f.past {
		f.past[i] = a.ClapFloor(float64(i) * FrameSeconds)
	}
	for i, s := range fitSpreads {
		f.shapes[i] = NewShape(group, s).over(fitBin * FrameSeconds)
	}
	f.one = NewShape(a.Kernel, 0).over(fitBin * FrameSeconds)
	return f
}

// bins hold mean power, background and middle of bins of frames; shape is scratch.
type bins struct{ power, past, time, shape []float64 }

func (f *fitter) bins(from, to float64) bins {
	lo, hi := max(0, int(from*FrameRate)), min(len(f.clap), int(math.Ceil(to*FrameRate)))
	var b bins
	for i := lo; i+fitBin <= hi; i += fitBin {
		var power, past float64
		for k := i; k < i+fitBin; k++ {
			power, past = power+float64(f.clap[k]), past+f.past[k]
		}
		b.power, b.past = append(b.power, max(power/fitBin, silentPower)), append(b.past, past/fitBin)
		b.time = append(b.time, (float64(i)+fitBin/2.0)*FrameSeconds)
	}
	b.shape = make([]float64, len(b.time))
	return b
}

// try computes the power of a burst with the given shape and centre, and how badly it fits: the
// cross entropy of the power found and the power expected, which takes a cluster of single claps
// for what it is, a sample of the burst's shape. Squared differences would follow the loudest clap,
// those of roots make every burst too narrow.
func (b *bins) try(s *Shape, centre float64) (cost, power float64) {
	var above, shape float64
	for i, t := range b.time {
		b.shape[i] = s.At(t - centre)
		above += b.power[i] - b.past[i]
		shape += b.shape[i]
	}
	if above <= 0 || shape <= 0 {
		return math.Inf(1), 0
	}
	power = above / shape
	for i, x := range b.power {
		cost -= x * math.Log(b.past[i]+power*b.shape[i])
	}
	return cost, power
}

// group fits the burst of a group into a cluster.
func (f *fitter) group(p cluster) (Burst, bool) {
	b := f.bins(p.from, p.to)
	best, least, shape := Burst{}, math.Inf(1), -1
	search := func(from, to, step float64, low, high int) {
		for centre := from; centre <= to; centre += step {
			for i := low; i <= high; i++ {
				if cost, power := b.try(f.shapes[i], centre); cost < least {
					least, shape = cost, i
					best = Burst{Time: centre, Power: power, Width: fitSpreads[i]}
				}
			}
		}
	}
	search(max(p.from, p.top-fitReach), min(p.to, p.top+fitReach), fitCoarse, 0, len(fitSpreads)-1)
	if shape < 0 {
		return Burst{}, false
	}
	search(max(0, best.Time-fitCoarse), best.Time+fitCoarse, fitFine,
		max(0, shape-1), min(len(fitSpreads)-1, shape+1))
	f.leave(f.shapes[shape], best)
	perfect := 0.0
	for _, x := range b.power {
		perfect -= x * math.Log(x)
	}
	// Over the power with its whole tail, not over that within the cluster: where two kernels fit
	// alike, the one that rings longer is taken, which was right more often.
	f.misfit += (least - perfect) / best.Power
	return best, true
}

// single measures the power of a single clap at a known time.
func (f *fitter) single(time, until float64) Burst {
	b := f.bins(time-0.003, min(time+fitSingle, max(until, time+0.012)))
	_, power := b.try(f.one, time)
	out := Burst{Time: time, Power: power}
	f.leave(f.one, out)
	return out
}

// leave adds a burst to the background of what follows.
func (f *fitter) leave(s *Shape, b Burst) {
	from, to := s.Reach()
	lo, hi := max(0, int((b.Time+from)*FrameRate)), min(len(f.past), int((b.Time+to)*FrameRate)+1)
	for i := lo; i < hi; i++ {
		f.past[i] += b.Power * s.At((float64(i)+0.5)*FrameSeconds-b.Time)
	}
}

// over is the shape averaged over stretches of the given length, as bins of frames see it.
func (s *Shape) over(length float64) *Shape {
	half := max(1, int(math.Round(length/2/shapeResolution)))
	n := len(s.table)
	sums := make([]float64, n+1)
	for i, x := range s.table {
		sums[i+1] = sums[i] + x
	}
	out := &Shape{from: s.from - float64(half)*shapeResolution, table: make([]float64, n+2*half)}
	for i := range out.table {
		lo, hi := min(max(i-2*half, 0), n), min(i, n)
		out.table[i] = (sums[hi] - sums[lo]) / float64(2*half)
	}
	return out
}
