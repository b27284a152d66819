package layer3

// Frame is one frame as it is found in a file.
type Frame struct {
	Version  int // 1, 2, or 25 for MPEG-2.5
	Rate     int // samples a second
	Channels int // 1 or 2
	// Middle says that two channels are sent as their sum and difference, Intensity that their
	// upper lines are sent once, with a direction.
	Middle, Intensity bool
	Side              []byte // side information
	Main              []byte // main data, which need not be that of this frame alone
}

func (f Frame) granules() int {
	if f.Version == 1 {
		return 2
	}
	return 1
}

const (
	lines    = 576 // frequency lines of a granule, and samples
	subbands = 32
	slots    = lines / subbands // samples of a subband in a granule

	mostBefore = 511 // bytes that a frame can point back
)

// Decoder decodes the frames of one recording, which must be of one rate and number of channels.
// The zero value is ready. It is not safe for concurrent use.
type Decoder struct {
	main     []byte // main data of the frames before
	scratch  []byte
	granules [2][2]granule // by granule and channel
	lines    [2][lines]float32
	hybrids  [2]hybrid
	banks    [2]bank
	slots    [lines]float32 // by time, then subband
}

// Decode decodes the next frame to interleaved samples, full scale being 1; dst has room for
// Samples of each channel. It reports whether the frame's bits were there: where not, it sounds as
// silence would after the frames before. A frame whose bits are damaged may sound like anything.
func (d *Decoder) Decode(dst []float32, f Frame) (complete bool) {
	side, ok := d.readSide(f)
	before := min(side.before, len(d.main))
	d.scratch = append(d.scratch[:0], d.main[len(d.main)-before:]...)
	d.scratch = append(d.scratch, f.Main...)
	meant := 8 * len(d.scratch)
	d.scratch = append(d.scratch, make([]byte, spare)...)

	length := 0
	for g := range f.granules() {
		for c := range f.Channels {
			length += d.granules[g][c].length
		}
	}
	complete = ok && before == side.before && length <= meant
	in := bits{data: d.scratch}
	layouts := layoutsOf(f)
	for g := range f.granules() {
		for c := range f.Channels {
			d.lines[c] = [lines]float32{}
			d.granules[g][c].used = 0
			if complete {
				d.readLines(&in, f, g, c, layouts)
			}
		}
		if f.Channels == 2 && complete {
			stereo(&d.granules[g], &d.lines, f, layouts)
		}
		for c := range f.Channels {
			one := &d.granules[g][c]
			one.reorder(&d.lines[c], layouts)
			d.hybrids[c].synthesise(&d.slots, &d.lines[c], one)
			d.banks[c].synthesise(dst[g*lines*f.Channels+c:], f.Channels, &d.slots)
		}
	}
	d.remember(f.Main)
	return complete
}

// remember keeps the last of the main data, as far as a frame can point back.
func (d *Decoder) remember(main []byte) {
	d.main = append(d.main, main...)
	if extra := len(d.main) - mostBefore; extra > 0 {
		d.main = append(d.main[:0], d.main[extra:]...)
	}
}
