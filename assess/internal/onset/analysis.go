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
}

// Analyse reads a stream to its end and finds its attacks. Memory grows by about 22 bytes per
// millisecond of sound while it runs and by less than half of that for what it keeps. Errors are
// those of the reader, wrapped, or ctx's.
func Analyse(ctx context.Context, r Reader) (*Analysis, error) {
	d, err := Examine(ctx, r)
	if err != nil {
		return nil, err
	}
	a := d.Analysis // a copy, so that the bands can go
	return &a, nil
}

// Examine is [Analyse] for who wants bursts. Errors are the same.
func Examine(ctx context.Context, r Reader) (*Detail, error) {
	e, err := readBands(ctx, r)
	if err != nil {
		return nil, err
	}
	d := newDetector(e)
	attacks := d.attacks()
	return &Detail{
		Analysis: Analysis{
			Envelope: e.envelope(), Attacks: attacks, Kernel: d.roomKernel(attacks), floors: d.floors,
		},
		bands: e,
	}, nil
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
