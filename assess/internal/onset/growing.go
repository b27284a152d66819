package onset

// chunkSamples is how many samples are filtered at a time. It is the same however they come in, for
// the filters are rid of what is too small once a chunk.
const chunkSamples = 64 * frameSamples

// growingBands turns a stream that comes in into bands, and searches them for attacks.
type growingBands struct {
	scan    *scan
	low     parts // of all frames
	clap    parts
	filters [bandCount]cascade
	buffer  []float32 // samples that don't fill a chunk yet
}

// newGrowingBands keeps all bands of the frames from one on.
func newGrowingBands(keep int) *growingBands {
	g := &growingBands{scan: newScan(keep), buffer: make([]float32, 0, chunkSamples)}
	for b, edge := range bandEdges {
		g.filters[b] = butterworth(edge, SampleRate)
	}
	return g
}

// add takes the next samples, any number; they are not kept.
func (g *growingBands) add(samples []float32) {
	for len(samples) > 0 {
		n := min(len(samples), chunkSamples-len(g.buffer))
		g.buffer = append(g.buffer, samples[:n]...)
		samples = samples[n:]
		if len(g.buffer) == chunkSamples {
			g.flush()
			g.scan.advance()
		}
	}
}

// flush turns the whole frames of the buffer into powers.
func (g *growingBands) flush() {
	recent := &g.scan.recent
	before := recent.frames()
	recent.append(&g.filters, g.buffer)
	g.low.add(recent.band[lowBand][before:])
	g.clap.add(recent.clap[before:])
	g.buffer = g.buffer[:0]
}

// finish fills the last frame with silence and searches the rest. Nothing may be added any more.
func (g *growingBands) finish() {
	for len(g.buffer)%frameSamples != 0 {
		g.buffer = append(g.buffer, 0)
	}
	g.flush()
	g.scan.finish()
}

// envelope is what is kept of the bands, which are not in parts any more then.
func (g *growingBands) envelope() *Envelope {
	return &Envelope{Low: g.low.joined(), Clap: g.clap.joined()}
}

// parts is a curve in pieces. A slice that grows with a long recording would be copied again and
// again, and leave half as much again behind.
type parts [][]float32

// partFrames is how many frames are in one piece.
const partFrames = 1 << 15

// add appends to the curve.
func (p *parts) add(curve []float32) {
	for len(curve) > 0 {
		last := len(*p) - 1
		if last < 0 || len((*p)[last]) == partFrames {
			*p = append(*p, make([]float32, 0, partFrames))
			last++
		}
		n := min(len(curve), partFrames-len((*p)[last]))
		(*p)[last] = append((*p)[last], curve[:n]...)
		curve = curve[n:]
	}
}

// joined is the curve in one piece; the parts are let go.
func (p *parts) joined() []float32 {
	n := 0
	for _, part := range *p {
		n += len(part)
	}
	out := make([]float32, 0, n)
	for i, part := range *p {
		out = append(out, part...)
		(*p)[i] = nil
	}
	*p = nil
	return out
}

// largest is the largest value from one place on up to another.
func (p parts) largest(from, to int) float32 {
	var largest float32
	for i := max(0, from/partFrames); i < len(p) && i*partFrames < to; i++ {
		part, at := p[i], i*partFrames
		for _, x := range part[min(max(0, from-at), len(part)):min(max(0, to-at), len(part))] {
			largest = max(largest, x)
		}
	}
	return largest
}
