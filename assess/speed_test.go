package assess_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/patterns/bank"
)

// BenchmarkRecording times the whole way from WAV to report. The metric x-real-time is how many
// times faster than playing the recording:
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
				report, err := assess.Recording(context.Background(), bytes.NewReader(file),
					bank.Starter(), assess.Options{})
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

// BenchmarkBank times the demo against banks of invented two-bar phrases. The metric exponent is
// how fast the time grows with the bank.
func BenchmarkBank(b *testing.B) {
	demo, err := os.ReadFile("../testdata/boatyard-lunch.wav")
	if err != nil {
		b.Fatal(err)
	}
	smallest := 0.0
	for _, size := range []int{50, 500, 5000} {
		b.Run(strconv.Itoa(size), func(b *testing.B) {
			bank := inventedBank(b, size)
			for b.Loop() {
				if _, err := assess.Recording(context.Background(), bytes.NewReader(demo), bank,
					assess.Options{}); err != nil {
					b.Fatal(err)
				}
			}
			each := b.Elapsed().Seconds() / float64(b.N)
			if size == 50 {
				smallest = each
			} else if smallest > 0 {
				b.ReportMetric(math.Log(each/smallest)/math.Log(float64(size)/50), "exponent")
			}
		})
	}
}

// inventedBank draws phrases of two bars of 4/4.
func inventedBank(b *testing.B, size int) *bank.Bank {
	rng := rand.New(rand.NewPCG(1, 2))
	beats := []string{"x", ".", "xx", ".x", "x..x", "x.xx", "xx.x", "xxx.", "xxxx"}
	var file strings.Builder
	for i := range size {
		fmt.Fprintf(&file, "[[phrase]]\nid = \"p%d\"\nname = \"phrase %d\"\nmeter = \"4/4\"\ntempo = 92\nrhythm = \"x", i, i)
		for beat := range 7 {
			if beat == 3 {
				file.WriteString(" |")
			}
			file.WriteString(" " + beats[rng.IntN(len(beats))])
		}
		file.WriteString("\"\n")
	}
	bank, err := bank.Load("invented.toml", []byte(file.String()))
	if err != nil {
		b.Fatal(err)
	}
	return bank
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
	if err := signal.WriteWAV(&file, all, 16000); err != nil {
		b.Fatal(err)
	}
	return file.Bytes()
}
