package onset

import "slices"

// Floor is the slowly moving background of a band: what the room sounds like between sounds.
type Floor struct {
	blocks []float32
}

const (
	floorBlock   = FrameRate / 2 // half a second of frames gives one value
	floorReach   = 6             // blocks on each side that are compared
	floorShare   = 0.2           // quantile within a block
	silentPower  = 1e-12         // -120 dB below full scale: digital silence is not a background
	lowestBlocks = 0.25          // quantile over neighbouring blocks
)

// newFloor measures the background of one band of an envelope: the 20 % quantile of each half second, then the 25 % quantile of the
// values within three seconds on either side, so that a phrase without a pause does not count as background.
func newFloor(band []float32) Floor {
	n := (len(band) + floorBlock - 1) / floorBlock
	raw := make([]float32, n)
	scratch := make([]float32, 0, floorBlock)
	for i := range raw {
		scratch = append(scratch[:0], band[i*floorBlock:min((i+1)*floorBlock, len(band))]...)
		slices.Sort(scratch)
		raw[i] = scratch[int(floorShare*float64(len(scratch)-1))]
	}
	blocks := make([]float32, n)
	for i := range blocks {
		scratch = append(scratch[:0], raw[max(0, i-floorReach):min(n, i+floorReach+1)]...)
		slices.Sort(scratch)
		blocks[i] = max(silentPower, scratch[int(lowestBlocks*float64(len(scratch)-1))])
	}
	return Floor{blocks}
}

// At is the background power at a frame.
func (f Floor) At(frame int) float32 {
	if len(f.blocks) == 0 {
		return silentPower
	}
	return f.blocks[min(max(frame/floorBlock, 0), len(f.blocks)-1)]
}
