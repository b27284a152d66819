package onset

import (
	"context"
	"slices"
)

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

// Analyse reads a stream to its end and finds its attacks. Memory grows by 4 bytes per millisecond
// of sound, and by 2 more at the end. Errors are those of the reader, wrapped, or ctx's.
func Analyse(ctx context.Context, r Reader) (*Analysis, error) {
	g := newGrowingBands(dropAll)
	if err := g.read(ctx, r); err != nil {
		return nil, err
	}
	return g.analysis(), nil
}

// Examine is [Analyse] for who wants bursts: it keeps all bands, 14 bytes per millisecond. Errors
// are the same.
func Examine(ctx context.Context, r Reader) (*Detail, error) {
	g := newGrowingBands(0)
	if err := g.read(ctx, r); err != nil {
		return nil, err
	}
	d := &Detail{bands: &g.scan.recent}
	d.Analysis = g.scan.analysis(d.bands.envelope())
	d.swing = newSwing(d.bands.clap)
	return d, nil
}

// analysis is that of a finished stream.
func (g *growingBands) analysis() *Analysis {
	a := g.scan.analysis(g.envelope())
	return &a
}

// Growing is the analysis of a stream that still comes in. It grows by 4 bytes per millisecond of
// sound, and keeps 10 since the last frame that was asked for. It is not safe for concurrent use;
// make one with [NewGrowing].
type Growing struct{ bands *growingBands }

// NewGrowing begins with no sound.
func NewGrowing() *Growing { return &Growing{newGrowingBands(0)} }

// Add takes the next samples of a stream as [Reader] gives them, any number; they are not kept.
func (g *Growing) Add(samples []float32) { g.bands.add(samples) }

// Frames is how many frames of the stream are done, which is up to an eighth of a second less than
// was added.
func (g *Growing) Frames() int { return g.bands.scan.frames() }

// Loudest is the largest power above 1 kHz of the frames from one on up to another.
func (g *Growing) Loudest(from, to int) float32 { return g.bands.clap.largest(from, to) }

// Since analyses what there is so far, as if the stream had begun at the given frame: times count
// from there. It takes time and memory as what it analyses is long. A frame before one that was
// asked for must not be asked for again: what lies before is forgotten.
func (g *Growing) Since(frame int) *Analysis {
	s := g.bands.scan
	s.keep = max(s.keep, frame)
	part := &scan{keep: 0, recent: s.recent.since(frame - s.first)}
	part.finish()
	e := part.recent.envelope()
	a := part.analysis(&Envelope{Low: slices.Clone(e.Low), Clap: slices.Clone(e.Clap)})
	return &a
}

// Finish ends the stream and gives what [Analyse] gives for all of it. The Growing can't be used
// any more.
func (g *Growing) Finish() *Analysis {
	g.bands.finish()
	return g.bands.analysis()
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
