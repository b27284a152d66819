package onset

import "context"

// Analysis is what is kept of a recording's sound. It is safe for concurrent reading.
type Analysis struct {
	Envelope *Envelope // power over time
	Attacks  []Attack  // in order of time
	Kernel   Kernel    // of single claps in this room, as the phone hears them
	floors   [bandCount]Floor
}

// Detail is an [Analysis] together with the power in every band, more than twice the memory: what
// bursts are told apart by.
type Detail struct {
	Analysis
	bands *bands
	swing swing
}

// Analyse reads a stream to its end and finds its attacks. Memory grows by about 22 bytes per
// millisecond of sound while it runs and by less than half of that for what it keeps. Errors are
// those of the reader, wrapped, or ctx's.
func Analyse(ctx context.Context, r Reader) (*Analysis, error) {
	e, err := readBands(ctx, r)
	if err != nil {
		return nil, err
	}
	a := examine(e).Analysis // a copy, so that the bands can go
	return &a, nil
}

// Examine is [Analyse] for who wants bursts. Errors are the same.
func Examine(ctx context.Context, r Reader) (*Detail, error) {
	e, err := readBands(ctx, r)
	if err != nil {
		return nil, err
	}
	d := examine(e)
	d.swing = newSwing(e.clap)
	return d, nil
}

// examine leaves the swing out, which only bursts need.
func examine(e *bands) *Detail {
	d := newDetector(e)
	attacks := d.attacks()
	return &Detail{
		Analysis: Analysis{
			Envelope: e.envelope(), Attacks: attacks, Kernel: d.roomKernel(attacks), floors: d.floors,
		},
		bands: e,
	}
}

// Growing is the analysis of a stream that still comes in. It grows by 10 bytes per millisecond of
// sound. It is not safe for concurrent use; make one with [NewGrowing].
type Growing struct{ bands *growingBands }

// NewGrowing begins with no sound.
func NewGrowing() *Growing { return &Growing{newGrowingBands()} }

// Add takes the next samples of a stream as [Reader] gives them, any number; they are not kept.
func (g *Growing) Add(samples []float32) { g.bands.add(samples) }

// Frames is how many frames of the stream are done, which is up to an eighth of a second less than
// was added.
func (g *Growing) Frames() int { return g.bands.frames() }

// Loudest is the largest power above 1 kHz of the frames from one on up to another.
func (g *Growing) Loudest(from, to int) float32 {
	var loudest float32
	at := 0
	for _, p := range g.bands.parts {
		for _, x := range p.clap[min(max(0, from-at), len(p.clap)):min(max(0, to-at), len(p.clap))] {
			loudest = max(loudest, x)
		}
		at += len(p.clap)
	}
	return loudest
}

// Since analyses what there is so far, as if the stream had begun at the given frame: times count
// from there. It takes time and memory as what it analyses is long.
func (g *Growing) Since(frame int) *Analysis {
	a := examine(g.bands.since(frame)).Analysis
	return &a
}

// Finish ends the stream and gives what [Analyse] gives for all of it. The Growing can't be used
// any more.
func (g *Growing) Finish() *Analysis {
	a := examine(g.bands.finish()).Analysis
	return &a
}

// ClapFloor is the background power of the clap band at a time in seconds, per frame.
func (a *Analysis) ClapFloor(seconds float64) float64 {
	frame := int(seconds * FrameRate)
	return clapFloor(&a.floors, frame)
}

func clapFloor(floors *[bandCount]Floor, frame int) float64 {
	return float64(floors[midBand].At(frame) + floors[highBand].At(frame) + floors[brightBand].At(frame))
}

// LowFloor is the background power of the low band at a time in seconds, per frame.
func (a *Analysis) LowFloor(seconds float64) float64 {
	return float64(a.floors[lowBand].At(int(seconds * FrameRate)))
}
