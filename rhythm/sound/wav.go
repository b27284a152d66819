package sound

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// WriteWAV renders the sequence as a WAV file: RIFF/WAVE, linear PCM of 16 bits, one channel,
// rate samples a second. A second takes 88 kB; it is written as it is rendered.
func (s *Sequence) WriteWAV(w io.Writer) error {
	out := bufio.NewWriterSize(w, 1<<16)
	if _, err := out.Write(wavHeader(s.length())); err != nil {
		return fmt.Errorf("writing the sound: %w", err)
	}
	err := s.render(func(part []float64) error {
		var pair [2]byte
		for _, v := range part {
			binary.LittleEndian.PutUint16(pair[:], uint16(int16(math.Round(v*math.MaxInt16))))
			if _, err := out.Write(pair[:]); err != nil {
				return err
			}
		}
		return nil
	})
	if err == nil {
		err = out.Flush()
	}
	if err != nil {
		return fmt.Errorf("writing the sound: %w", err)
	}
	return nil
}

// wavHeader is everything before the samples (Microsoft and IBM, Multimedia Programming Interface
// and Data Specifications 1.0, 1991: the chunks RIFF, fmt and data; from memory).
func wavHeader(samples int) []byte {
	const (
		bytes  = 2 // a sample
		header = 44
	)
	size := uint32(samples * bytes)
	b := make([]byte, 0, header)
	b = append(b, "RIFF"...)
	b = binary.LittleEndian.AppendUint32(b, header-8+size)
	b = append(b, "WAVEfmt "...)
	b = binary.LittleEndian.AppendUint32(b, 16)         // bytes of the format
	b = binary.LittleEndian.AppendUint16(b, 1)          // linear PCM
	b = binary.LittleEndian.AppendUint16(b, 1)          // channel
	b = binary.LittleEndian.AppendUint32(b, rate)       // samples a second
	b = binary.LittleEndian.AppendUint32(b, rate*bytes) // bytes a second
	b = binary.LittleEndian.AppendUint16(b, bytes)
	b = binary.LittleEndian.AppendUint16(b, 8*bytes) // bits
	b = append(b, "data"...)
	return binary.LittleEndian.AppendUint32(b, size)
}
