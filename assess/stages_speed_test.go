package assess

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"testing"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/patterns/bank"
)

// BenchmarkStages times what a report is made of, on the demo repeated to 2 and to 20 minutes. The
// metric exponent is the slope of log time over log length:
//
//	go test -run '^$' -bench Stages ./assess
func BenchmarkStages(b *testing.B) {
	demo, err := os.ReadFile("../testdata/boatyard-lunch.wav")
	if err != nil {
		b.Fatal(err)
	}
	const header = 44
	lengths := []int{2, 15} // times the demo's 78 seconds
	before := map[string]float64{}
	for _, times := range lengths {
		file := append(bytes.Clone(demo[:header]), bytes.Repeat(demo[header:], times)...)
		for i := range 4 { // sizes of the whole and of the samples
			file[4+i] = byte((len(file) - 8) >> (8 * i))
			file[40+i] = byte((len(file) - header) >> (8 * i))
		}
		for _, stage := range stages(b, file) {
			b.Run(fmt.Sprintf("%s/%ds", stage.name, 78*times), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					stage.run()
				}
				each := b.Elapsed().Seconds() / float64(b.N)
				if shorter := before[stage.name]; shorter > 0 && times == lengths[1] {
					b.ReportMetric(math.Log(each/shorter)/math.Log(float64(lengths[1])/float64(lengths[0])), "exponent")
				} else {
					before[stage.name] = each
				}
			})
		}
	}
}

type stage struct {
	name string
	run  func()
}

// stages prepares what each stage takes from the one before.
func stages(b *testing.B, file []byte) []stage {
	ctx := context.Background()
	check := func(err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	var samples []int16
	decode := func() {
		stream, err := audio.Open(ctx, bytes.NewReader(file), audio.Options{})
		check(err)
		buffer := make([]float32, 4096)
		samples = samples[:0]
		for {
			n, err := stream.Read(buffer)
			for _, x := range buffer[:n] {
				samples = append(samples, int16(32767*max(-1, min(1, x))))
			}
			if err == io.EOF {
				break
			}
			check(err)
		}
		check(stream.Close())
	}
	decode()
	var analysis *onset.Analysis
	analyse := func() {
		var err error
		analysis, err = onset.Analyse(ctx, &played{samples: samples})
		check(err)
	}
	analyse()
	s := newScale(bank.Starter(), Options{})
	var found []rounds.Round
	find := func() {
		var err error
		found, err = rounds.Find(ctx, analysis, s.templates(), rounds.Options{})
		check(err)
	}
	find()
	var heard []heardRound
	measure := func() { heard = s.measured(analysis, found) }
	measure()
	return []stage{
		{"decode", decode},
		{"onset", analyse},
		{"rounds", find},
		{"response", measure},
		{"posterior", func() {
			report := s.report(Recorded{})
			report.add(heard, map[string]int{})
			check(report.conclude(s))
		}},
	}
}

// played is a stream of samples that are at hand.
type played struct {
	samples []int16
	at      int
}

func (p *played) Read(out []float32) (int, error) {
	if p.at == len(p.samples) {
		return 0, io.EOF
	}
	n := min(len(out), len(p.samples)-p.at)
	for i, x := range p.samples[p.at : p.at+n] {
		out[i] = float32(x) / 32768
	}
	p.at += n
	return n, nil
}
