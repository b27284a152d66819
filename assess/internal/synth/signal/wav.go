package signal

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// WriteWAV writes mono samples between −1 and 1 as a WAV file of 16-bit PCM (RIFF/WAVE, format tag
// 1). Louder samples are clipped, NaN becomes 0. The recording must be shorter than 2 GiB.
func WriteWAV(w io.Writer, samples []float32, rate int) error {
	const header = 44
	if rate <= 0 || rate > 1<<20 {
		return fmt.Errorf("write WAV: sample rate %d is out of range", rate)
	}
	if len(samples) > (math.MaxInt32-header)/2 {
		return fmt.Errorf("write WAV: %d samples are too many for one file", len(samples))
	}
	out := bufio.NewWriterSize(w, 1<<16)
	size := uint32(2 * len(samples))
	b := make([]byte, 0, header)
	b = append(b, "RIFF"...)
	b = binary.LittleEndian.AppendUint32(b, size+header-8)
	b = append(b, "WAVEfmt "...)
	b = binary.LittleEndian.AppendUint32(b, 16)
	b = binary.LittleEndian.AppendUint16(b, 1) // PCM
	b = binary.LittleEndian.AppendUint16(b, 1) // channel
	b = binary.LittleEndian.AppendUint32(b, uint32(rate))
	b = binary.LittleEndian.AppendUint32(b, uint32(2*rate))
	b = binary.LittleEndian.AppendUint16(b, 2)  // bytes a frame
	b = binary.LittleEndian.AppendUint16(b, 16) // bits
	b = append(b, "data"...)
	b = binary.LittleEndian.AppendUint32(b, size)
	if _, err := out.Write(b); err != nil {
		return fmt.Errorf("write WAV: %w", err)
	}
	var pair [2]byte
	for _, v := range samples {
		binary.LittleEndian.PutUint16(pair[:], uint16(pcm16(v)))
		if _, err := out.Write(pair[:]); err != nil {
			return fmt.Errorf("write WAV: %w", err)
		}
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("write WAV: %w", err)
	}
	return nil
}

// pcm16 scales by 32768, so that a square wave of ±1 uses the whole range and values of n/32768
// survive exactly.
func pcm16(v float32) int16 {
	if v != v {
		return 0
	}
	return int16(Clamp(math.Round(float64(v)*32768), math.MinInt16, math.MaxInt16))
}
