package onset

// usage tells which of the two highest bands hold sound: a phone call or an 8 kHz recorder leaves
// them empty. That is known at the end of a recording only, so attacks are looked for with each.
type usage uint8

const (
	highUsed usage = 1 << iota
	brightUsed
	usages = 1 << iota
)

// usedBy is the usage of a recording, by the sum of the power in each band.
func usedBy(power [bandCount]float64) usage {
	var u usage
	if !(power[highBand] < bandUnused*power[midBand]) {
		u |= highUsed
	}
	if !(power[brightBand] < bandUnused*power[midBand]) {
		u |= brightUsed
	}
	return u
}

// has reports whether a band counts.
func (u usage) has(band int) bool {
	switch band {
	case highBand:
		return u&highUsed != 0
	case brightBand:
		return u&brightUsed != 0
	}
	return true
}

// need is how many bands above 1 kHz must rise at once.
func (u usage) need() uint8 {
	if u.has(highBand) {
		return 2
	}
	return 1
}

// usageWeights are what the rise of each band counts; their sum is 1.
var usageWeights = func() (weights [usages][bandCount]float32) {
	for u := range usage(usages) {
		var own [bandCount]float64
		total := 0.0
		for b := range own {
			if !u.has(b) {
				continue
			}
			own[b] = 1
			if b == lowBand {
				own[b] = lowWeight
			}
			total += own[b]
		}
		for b := range own {
			weights[u][b] = float32(own[b] / total)
		}
	}
	return weights
}()
