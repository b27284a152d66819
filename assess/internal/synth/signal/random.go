package signal

import (
	"hash/fnv"
	"math/rand/v2"
)

// Stream returns the random numbers for one purpose. Streams of different names are independent, so
// that drawing more numbers for one thing leaves everything else as it was.
func Stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name))
	return rand.New(rand.NewPCG(Scatter(seed), h.Sum64()))
}

// Between draws evenly from a range.
func Between(rng *rand.Rand, least, most float64) float64 { return least + (most-least)*rng.Float64() }

// Scatter spreads numbers that lie close together over all 64 bits (the finaliser of SplitMix64,
// Steele, Lea & Flood 2014; constants from memory).
func Scatter(x uint64) uint64 {
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
