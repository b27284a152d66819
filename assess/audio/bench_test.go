package audio_test

import (
	"bytes"
	"fmt"
	"io"
	"testing"

	"clapladder.example/assess/audio"
)

// BenchmarkWAV decodes and resamples ten minutes of 16-bit sound in memory.
func BenchmarkWAV(b *testing.B) {
	for _, shape := range []struct{ rate, channels int }{{44100, 1}, {44100, 2}, {48000, 1}, {16000, 1}} {
		b.Run(fmt.Sprintf("%dHz-%dch-10min", shape.rate, shape.channels), func(b *testing.B) {
			tracks := make([][]float64, shape.channels)
			for c := range tracks {
				tracks[c] = clapTrain(shape.rate, 60, 0.001)
			}
			minute := pcm16(interleave(tracks...))
			file := wavFile(wavSpec{tag: 1, channels: shape.channels, rate: shape.rate, bits: 16},
				bytes.Repeat(minute, 10))
			buf := make([]float32, 8192)
			b.SetBytes(int64(len(file)))
			b.ReportAllocs()
			for b.Loop() {
				s, err := audio.Open(b.Context(), bytes.NewReader(file), audio.Options{})
				if err != nil {
					b.Fatal(err)
				}
				for err == nil {
					_, err = s.Read(buf)
				}
				if err != io.EOF {
					b.Fatal(err)
				}
				_ = s.Close()
			}
			b.ReportMetric(600/(b.Elapsed().Seconds()/float64(b.N)), "x-real-time")
		})
	}
}

// BenchmarkFormats decodes the recordings in testdata.
func BenchmarkFormats(b *testing.B) {
	for _, c := range compressed {
		b.Run(c.file, func(b *testing.B) {
			file := readFixture(b, c.file)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := decode(b.Context(), bytes.NewReader(file), noFFmpeg); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(fixtureSeconds/(b.Elapsed().Seconds()/float64(b.N)), "x-real-time")
		})
	}
}
