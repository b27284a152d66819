package onset_test

import (
	"context"
	"fmt"
	"io"
	"math"

	"clapladder.example/assess/internal/onset"
)

// tape is a recording in memory.
type tape []float32

func (s *tape) Read(dst []float32) (int, error) {
	n := copy(dst, *s)
	*s = (*s)[n:]
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

func ExampleAnalyse() {
	samples := make(tape, 3*onset.SampleRate)
	for _, second := range []float64{0.5, 1.1, 1.7} { // three clicks of 3.6 kHz that die away
		start := int(second * onset.SampleRate)
		for i := range 300 {
			t := float64(i) / onset.SampleRate
			samples[start+i] = float32(0.5 * math.Exp(-267*t) * math.Cos(2*math.Pi*3600*t))
		}
	}
	a, err := onset.Analyse(context.Background(), &samples)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, attack := range a.Attacks {
		fmt.Printf("%.2f s\n", attack.Time)
	}
	// Output:
	// 0.50 s
	// 1.10 s
	// 1.70 s
}
