package onset

// swing is how the level of the clap band moves around a time, over stretches as long as a burst:
// steady noise hardly swings, so that little stands out from it; talk swings a lot.
type swing struct {
	level       []float32 // dB by step of the activity, over burstSteps around
	usual, calm spanQuantiles
}

func newSwing(clap []float32) swing {
	const frames = int(ActivityStep * FrameRate)
	n := len(clap) / frames
	sums := make([]float64, n+1)
	for i := range n {
		sums[i+1] = sums[i]
		for _, x := range clap[i*frames : (i+1)*frames] {
			sums[i+1] += float64(x)
		}
	}
	s := swing{level: make([]float32, n)}
	for i := range s.level {
		from, to := max(0, i-burstSteps/2), min(n, i+burstSteps/2+1)
		s.level[i] = float32(decibels((sums[to] - sums[from]) / float64((to-from)*frames)))
	}
	s.usual = quantilesOf(s.level, swingBlock, swingUsual, swingReach, swingAmong)
	s.calm = quantilesOf(s.level, swingBlock, swingCalm, swingReach, swingAmong)
	return s
}

// steady reports whether the level around a time in seconds is that of steady noise, not of talk.
func (s swing) steady(seconds float64) bool {
	i := int(seconds / ActivityStep)
	return s.usual.at(i)-s.calm.at(i) <= swingSteady
}

// above is by how many swings the level at a time in seconds lies above the usual one.
func (s swing) above(seconds float64) float64 {
	i := int(seconds / ActivityStep)
	if i < 0 || i >= len(s.level) {
		return 0
	}
	usual := s.usual.at(i)
	return float64(s.level[i]-usual) / max(swingLeast, float64(usual-s.calm.at(i)))
}

// spanQuantiles is a slowly moving quantile of a curve: one value for each block.
type spanQuantiles struct {
	block  int
	values []float32
}

// at is the value at a place of the curve; 0 of an empty curve.
func (q spanQuantiles) at(i int) float32 {
	if len(q.values) == 0 {
		return 0
	}
	return q.values[min(max(i/q.block, 0), len(q.values)-1)]
}

// quantilesOf takes a quantile of each block, then one of the blocks within reach on either side.
func quantilesOf(x []float32, block int, share float64, reach int, among float64) spanQuantiles {
	var q growingQuantiles
	q.take(x, 0, block, share, true)
	return spanQuantiles{block, q.among(nil, reach, among, true)}
}

// growingQuantiles are the quantiles of the blocks of a curve that comes in.
type growingQuantiles struct{ blocks, scratch []float32 }

// take adds the quantiles of the blocks that are complete, at the end of the curve that of the last
// one too. x begins with value first of the curve, the first of a block.
func (q *growingQuantiles) take(x []float32, first, block int, share float64, whole bool) {
	for {
		from := len(q.blocks)*block - first
		to := min(from+block, len(x))
		if from >= to || to < from+block && !whole {
			return
		}
		q.scratch = append(q.scratch[:0], x[from:to]...)
		q.blocks = append(q.blocks, ranked(q.scratch, int(share*float64(len(q.scratch)-1))))
	}
}

// among adds to values, one for each block, those that are missing: a quantile of the blocks within
// reach on either side. Those whose reach is not complete wait for the end of the curve.
func (q *growingQuantiles) among(values []float32, reach int, among float64, whole bool) []float32 {
	n := len(q.blocks)
	for i := len(values); i < n && (whole || i+reach < n); i++ {
		q.scratch = append(q.scratch[:0], q.blocks[max(0, i-reach):min(n, i+reach+1)]...)
		values = append(values, ranked(q.scratch, int(among*float64(len(q.scratch)-1))))
	}
	return values
}
