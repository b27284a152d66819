package assess_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"testing"

	"clapladder.example/assess"
	"clapladder.example/assess/synth"
	"clapladder.example/patterns"
)

// BenchmarkRecording times the whole way from WAV to report. The metric x-real-time is how many times faster than playing the recording:
//
//	go test -run '^$' -bench Recording ./assess
func BenchmarkRecording(b *testing.B) {
	demo, err := os.ReadFile("../testdata/boatyard-lunch.wav")
	if err != nil {
		b.Fatal(err)
	}
	const header = 44
	pcm := demo[header:]
	seconds := float64(len(pcm)) / 2 / 16000
	for _, minutes := range []int{1, 10, 60} {
		b.Run(fmt.Sprintf("%dmin", minutes), func(b *testing.B) {
			times := max(1, int(float64(minutes)*60/seconds+0.5))
			file := longer(b, pcm, times)
			b.ReportAllocs()
			for b.Loop() {
				report, err := assess.Recording(context.Background(), bytes.NewReader(file), patterns.StarterBank(), assess.Options{})
				if err != nil {
					b.Fatal(err)
				}
				if len(report.Rounds) != 9*times {
					b.Fatalf("%d rounds, want %d", len(report.Rounds), 9*times)
				}
			}
			b.ReportMetric(seconds*float64(times)*float64(b.N)/b.Elapsed().Seconds(), "x-real-time")
		})
	}
}

// longer repeats 16 kHz samples of 16 bits.
func longer(b *testing.B, pcm []byte, times int) []byte {
	samples := make([]float32, len(pcm)/2)
	for i := range samples {
		samples[i] = float32(int16(uint16(pcm[2*i])|uint16(pcm[2*i+1])<<8)) / 32768
	}
	var all []float32
	for range times {
		all = append(all, samples...)
	}
	var file bytes.Buffer
	if err := synth.WriteWAV(&file, all, 16000); err != nil {
		b.Fatal(err)
	}
	return file.Bytes()
}
