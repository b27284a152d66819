package audio_test

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
)

// clapTimes are the onsets of testSound in seconds, repeated every three.
var clapTimes = []float64{0, 0.25, 0.5, 0.8, 1.1, 1.35, 1.7, 2.0, 2.3, 2.75}

// testSound is interleaved sound like hand claps in a quiet room: two decaying
// resonances and noise, the same in every channel, over soft independent noise.
func testSound(rate, channels int, seconds float64) []float64 {
	rng := rand.New(rand.NewPCG(7, 11))
	frames := int(float64(rate) * seconds)
	mono := make([]float64, frames)
	for start := 0.0; start < seconds; start += 3 {
		for _, t := range clapTimes {
			at := int(math.Round((start + t) * float64(rate)))
			for i := range rate / 16 {
				if at+i >= frames {
					break
				}
				s := float64(i) / float64(rate)
				mono[at+i] += 0.5 * math.Exp(-s/0.006) *
					(0.6*math.Sin(2*math.Pi*1150*s) + 0.5*math.Sin(2*math.Pi*2300*s) + 0.35*rng.NormFloat64())
			}
		}
	}
	out := make([]float64, frames*channels)
	for i, x := range mono {
		for c := range channels {
			out[i*channels+c] = math.Max(-1, math.Min(1, x+0.001*rng.NormFloat64()))
		}
	}
	return out
}

func pcm16(sound []float64) []byte {
	b := make([]byte, 0, 2*len(sound))
	for _, x := range sound {
		b = binary.LittleEndian.AppendUint16(b, uint16(int16(math.Round(x*32767))))
	}
	return b
}

// wavSpec is the format of a WAV file to be built.
type wavSpec struct {
	tag, channels, rate, bits int
	container                 int // bytes of a sample, 0: as many as bits need
}

func chunk(id string, body []byte) []byte {
	b := append([]byte(id), binary.LittleEndian.AppendUint32(nil, uint32(len(body)))...)
	b = append(b, body...)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

func fmtChunk(s wavSpec) []byte {
	size := s.container
	if size == 0 {
		size = (s.bits + 7) / 8
	}
	le := binary.LittleEndian
	b := le.AppendUint16(nil, uint16(s.tag))
	b = le.AppendUint16(b, uint16(s.channels))
	b = le.AppendUint32(b, uint32(s.rate))
	b = le.AppendUint32(b, uint32(s.rate*s.channels*size))
	b = le.AppendUint16(b, uint16(s.channels*size))
	b = le.AppendUint16(b, uint16(s.bits))
	return chunk("fmt ", b)
}

func riff(chunks ...[]byte) []byte {
	body := []byte("WAVE")
	for _, c := range chunks {
		body = append(body, c...)
	}
	b := append([]byte("RIFF"), binary.LittleEndian.AppendUint32(nil, uint32(len(body)))...)
	return append(b, body...)
}

func wavFile(s wavSpec, data []byte) []byte { return riff(fmtChunk(s), chunk("data", data)) }
