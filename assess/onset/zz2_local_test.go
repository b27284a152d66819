package onset

import (
	"context"
	"encoding/gob"
	"fmt"
	"math"
	"os"
	"testing"

	"clapladder.example/assess/synth"
)

func TestZZBand(t *testing.T) {
	var seed uint64
	var at float64
	fmt.Sscan(os.Getenv("SEED"), &seed)
	fmt.Sscan(os.Getenv("AT"), &at)
	names, _ := os.ReadDir("/tmp/clap/pcm")
	for _, nm := range names {
		var rec struct {
			Truth   synth.Truth
			Samples []int16
		}
		f, _ := os.Open("/tmp/clap/pcm/" + nm.Name())
		gob.NewDecoder(f).Decode(&rec)
		f.Close()
		if rec.Truth.Seed != seed {
			continue
		}
		a, _ := Analyse(context.Background(), &mem{rec.Samples})
		for i := int(at*500) - 15; i < int(at*500)+40; i++ {
			fmt.Printf("%.3f", float64(i)/500)
			for b := range a.Envelope.Bands {
				fmt.Printf(" %6.1f (%.1f)", 10*math.Log10(float64(a.Envelope.Bands[b][i])+1e-12), 10*math.Log10(float64(a.floors[b].At(i))))
			}
			fmt.Println()
		}
	}
}
