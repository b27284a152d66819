package layer3

// bank is the second filter bank of one channel, the polyphase synthesis: at each time it turns one
// sample of each subband into 32 samples (ISO/IEC 11172-3, 2.4.3.2.2).
//
// The standard's vector V of 64 values is a cosine transform D of 32 values, each of which stands
// in it twice but for signs. So D is what is kept of the last 16 times, each value's history in one
// piece, and the values that belong to samples j and 32-j are used for both.
type bank struct {
	history [subbands][2 * times]float32 // newest first, from at on
	at      int
}

const times = 16

// weights weigh the history of D_(16+j) and of D_(16-j) for sample j and, mirrored, for 32-j.
type weights struct{ up, down, upMirror, downMirror [times / 2]float32 }

var sampleWeights = func() (w [16]weights) {
	value := func(i int) float32 {
		switch {
		case i <= 256:
			return float32(window[i]) / (1 << 16)
		case i%64 == 0:
			return float32(window[512-i]) / (1 << 16)
		}
		return -float32(window[512-i]) / (1 << 16)
	}
	for j := range w {
		for i := range times / 2 {
			w[j].up[i], w[j].down[i] = value(64*i+j), -value(64*i+32+j)
			if j > 0 {
				w[j].upMirror[i], w[j].downMirror[i] = -value(64*i+32-j), -value(64*i+64-j)
			}
		}
	}
	for i := range times / 2 { // sample 16: V_16 is 0 and V_48 is -D_0
		w[0].downMirror[i] = -value(64*i + 48)
	}
	return w
}()

// synthesise writes the samples of one granule to every stride-th place of dst.
func (b *bank) synthesise(dst []float32, stride int, slots *[lines]float32) {
	for t := range lines / subbands {
		d := (*[subbands]float32)(slots[subbands*t:])
		cosine32(d)
		if b.at--; b.at < 0 {
			b.at = times - 1
		}
		for m, x := range d {
			b.history[m][b.at], b.history[m][b.at+times] = x, x
		}
		b.samples(dst[subbands*stride*t:], stride)
	}
}

// samples weighs the history: every other value belongs to the upper half of V.
func (b *bank) samples(dst []float32, stride int) {
	past := func(m int) *[times]float32 { return (*[times]float32)(b.history[m][b.at:]) }
	// Samples 0 and 16 stand alone: V_0 is D_16 and V_32 is -D_16.
	w := &sampleWeights[0]
	middle, lowest := past(16), past(0)
	var first, half float32
	for i := range times / 2 {
		first += middle[2*i]*w.up[i] + middle[2*i+1]*w.down[i]
		half += lowest[2*i+1] * w.downMirror[i]
	}
	dst[0], dst[16*stride] = first, half
	for j := 1; j < 16; j++ {
		w := &sampleWeights[j]
		up, down := past(16+j), past(16-j)
		var one, other float32
		for i := range times / 2 {
			a, b := up[2*i], down[2*i+1]
			one += a*w.up[i] + b*w.down[i]
			other += a*w.upMirror[i] + b*w.downMirror[i]
		}
		dst[j*stride], dst[(32-j)*stride] = one, other
	}
}
