package onset

import "context"

// Analysis is all that is kept of a recording's sound.
type Analysis struct {
	Envelope *Envelope // power over time
	Attacks  []Attack  // in order of time
	Kernel   Kernel    // of single claps in this room, as the phone hears them
	floors   [bandCount]Floor
}

// Analyse reads a stream to its end and finds its attacks. Memory grows by about 22 bytes per millisecond of sound
// while it runs. Errors are those of [ReadEnvelope].
func Analyse(ctx context.Context, r Reader) (*Analysis, error) {
	e, err := ReadEnvelope(ctx, r)
	if err != nil {
		return nil, err
	}
	d := newDetector(e)
	a := &Analysis{Envelope: e, Attacks: d.attacks(), floors: d.floors}
	a.Kernel = d.roomKernel(a.Attacks)
	return a, nil
}

// Trim drops the bands that only finding attacks and bursts need, which is more than half of the memory. [Analysis.Bursts] can't be called
// then; Low and Clap of the envelope stay.
func (a *Analysis) Trim() {
	for _, b := range []int{Mid, High, Bright} {
		a.Envelope.Bands[b] = nil
	}
}

// ClapFloor is the background power of the clap band at a time in seconds.
func (a *Analysis) ClapFloor(seconds float64) float64 {
	frame := int(seconds * FrameRate)
	return float64(a.floors[Mid].At(frame) + a.floors[High].At(frame) + a.floors[Bright].At(frame))
}

// LowFloor is the background power of the low band at a time in seconds.
func (a *Analysis) LowFloor(seconds float64) float64 {
	return float64(a.floors[Low].At(int(seconds * FrameRate)))
}
