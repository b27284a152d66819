package onset

// chunkSamples is how many samples are filtered at a time. It is the same however they come in, for
// the filters are rid of what is too small once a chunk.
const chunkSamples = 64 * frameSamples

// growingBands is the bands of a stream that still comes in.
type growingBands struct {
	parts   []*bands
	filters [bandCount]cascade
	buffer  []float32 // samples that don't fill a chunk yet
}

func newGrowingBands() *growingBands {
	g := &growingBands{parts: []*bands{newPart()}, buffer: make([]float32, 0, chunkSamples)}
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
		}
	}
}

// flush turns the whole frames of the buffer into powers.
func (g *growingBands) flush() {
	last := g.parts[len(g.parts)-1]
	if last.frames() >= partFrames {
		last = newPart()
		g.parts = append(g.parts, last)
	}
	last.append(&g.filters, g.buffer)
	g.buffer = g.buffer[:0]
}

// finish fills the last frame with silence and returns all. Nothing may be added any more.
func (g *growingBands) finish() *bands {
	for len(g.buffer)%frameSamples != 0 {
		g.buffer = append(g.buffer, 0)
	}
	g.flush()
	return joined(g.parts)
}

func (g *growingBands) frames() int {
	frames := 0
	for _, p := range g.parts {
		frames += p.frames()
	}
	return frames
}

// since copies what there is from a frame on.
func (g *growingBands) since(frame int) *bands {
	out := &bands{}
	room := max(0, g.frames()-frame)
	pick := func(curve func(*bands) []float32) []float32 {
		picked := make([]float32, 0, room)
		at := 0
		for _, p := range g.parts {
			c := curve(p)
			picked = append(picked, c[min(max(0, frame-at), len(c)):]...)
			at += len(c)
		}
		return picked
	}
	for b := range out.band {
		out.band[b] = pick(func(p *bands) []float32 { return p.band[b] })
	}
	out.clap = pick(func(p *bands) []float32 { return p.clap })
	return out
}

// partFrames is how many frames are kept in one piece while reading. Slices that grow with a long
// recording would be copied again and again, and leave half as much again behind.
const partFrames = 1 << 15

func newPart() *bands {
	const room = partFrames + 64
	e := &bands{clap: make([]float32, 0, room)}
	for b := range e.band {
		e.band[b] = make([]float32, 0, room)
	}
	return e
}

// joined puts the parts together, one curve after the other, and lets go of each part's as soon as
// it is done.
func joined(parts []*bands) *bands {
	if len(parts) == 1 {
		return parts[0]
	}
	frames := 0
	for _, p := range parts {
		frames += p.frames()
	}
	join := func(curve func(*bands) *[]float32) []float32 {
		out := make([]float32, 0, frames)
		for _, p := range parts {
			out = append(out, *curve(p)...)
			*curve(p) = nil
		}
		return out
	}
	e := new(bands)
	for b := range e.band {
		e.band[b] = join(func(p *bands) *[]float32 { return &p.band[b] })
	}
	e.clap = join(func(p *bands) *[]float32 { return &p.clap })
	return e
}
