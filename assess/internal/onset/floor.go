package onset

// Floor is the slowly moving background of a band: what the room sounds like between sounds.
type Floor struct {
	blocks []float32
}

// growingFloor measures the background of one band while it comes in: the 20 % quantile of each
// half second, then the 25 % quantile of the values within three seconds on either side, so that a
// phrase without a pause does not count as background.
type growingFloor struct {
	quantiles growingQuantiles
	blocks    []float32
}

// take takes the blocks that are complete; band begins with a frame of the recording, the first of
// a block, and holds all that was not taken yet. At the end of the recording it is whole.
func (f *growingFloor) take(band []float32, first int, whole bool) {
	f.quantiles.take(band, first, floorBlock, floorShare, whole)
	done := len(f.blocks)
	f.blocks = f.quantiles.among(f.blocks, floorReach, lowestBlocks, whole)
	for i := done; i < len(f.blocks); i++ {
		f.blocks[i] = max(silentPower, f.blocks[i])
	}
}

// from is the background as far as it is known, from a frame on, the first of a block.
func (f *growingFloor) from(frame int) Floor { return Floor{f.blocks[frame/floorBlock:]} }

// At is the background power at a frame.
func (f Floor) At(frame int) float32 {
	if len(f.blocks) == 0 {
		return silentPower
	}
	return f.blocks[min(max(frame/floorBlock, 0), len(f.blocks)-1)]
}

// ranked is the value that would be at place k were x sorted; x comes out in another order. Only
// the part with place k is looked at further (Hoare's selection, from memory), which is much less
// than sorting.
func ranked(x []float32, k int) float32 {
	low, high := 0, len(x)-1
	for low < high {
		pivot := x[low+(high-low)/2]
		i, j := low, high
		for i <= j {
			for x[i] < pivot {
				i++
			}
			for x[j] > pivot {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return x[k]
		}
	}
	return x[k]
}
