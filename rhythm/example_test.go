package rhythm_test

import (
	"errors"
	"fmt"

	"clapladder.example/rhythm"
)

func ExampleParse() {
	p, err := rhythm.Parse("x x xx . | x .x .x x", rhythm.MustParseMeter("4/4"), 96)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Bars(), "bars,", len(p.Strokes()), "strokes")
	for _, s := range p.Strokes()[4:] {
		bar, beat := p.Position(s.Step)
		fmt.Printf("bar %d, beat %g: %.4f s\n", bar, beat, p.Seconds(s.Step))
	}
	// Output:
	// 2 bars, 8 strokes
	// bar 2, beat 1: 2.5000 s
	// bar 2, beat 2.5: 3.4375 s
	// bar 2, beat 3.5: 4.0625 s
	// bar 2, beat 4: 4.3750 s
}

func ExampleParse_mistake() {
	_, err := rhythm.Parse("x x xx", rhythm.MustParseMeter("4/4"), 96)
	var mistake *rhythm.NotationError
	if errors.As(err, &mistake) {
		fmt.Println(mistake)
		fmt.Println(mistake.Excerpt())
	}
	// Output:
	// column 5: bar 1 has 3 beats, 4/4 has 4; write "." for each silent beat, for example "x x x x"
	// x x xx
	//     ^
}

func ExampleInspect() {
	_, remarks, _ := rhythm.Inspect("xxxx", rhythm.MustParseMeter("4/4"), 96)
	fmt.Println(remarks[0].Text)
	// Output: "xxxx" fills the whole bar, 1 box a beat; for one beat of it write the other beats too, for example "xxxx . . ."
}

func ExampleParseMeter() {
	for _, text := range []string{"6/8", "7/8=2+2+3", "7/8"} {
		m, err := rhythm.ParseMeter(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s is %s with %d beats\n", m, m.Kind(), m.Beats())
	}
	// Output:
	// 6/8 is compound with 2 beats
	// 7/8=2+2+3 is additive with 3 beats
	// column 1: 7/8 does not say where its beats are; write 7/8=2+2+3 or 7/8=3+2+2
}

func ExampleNew() {
	p, _ := rhythm.New(rhythm.MustParseMeter("3/4"), 120, 1, 4,
		[]rhythm.Stroke{{Step: 0, Accent: true}, {Step: 6}, {Step: 8, Sound: rhythm.Stamp}})
	fmt.Println(p)
	// Output: X .x s
}

func ExampleTimeMap() {
	p := rhythm.MustParse("x x xx x", "4/4", 120)
	m := p.TimeMap(12.5) // bar 1 begins 12.5 s into a recording
	for _, s := range p.Strokes() {
		fmt.Printf("%.2f ", m.At(float64(s.Step)))
	}
	fmt.Println()
	// Output: 12.50 13.00 13.50 13.75 14.00
}
