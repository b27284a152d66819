package measure_test

import (
	"errors"
	"fmt"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/measure"
)

func ExampleMeasure_Of() {
	phrase := rhythm.MustParse("xxx x xxx x", "4/4", 96)
	for _, id := range []string{"lhl", "note-to-beat", "keith"} {
		m, _ := measure.Find(id)
		value, err := m.Of(phrase)
		if undefined, ok := errors.AsType[*measure.UndefinedError](err); ok {
			fmt.Printf("%s: - (%v)\n", m.ID, undefined.Reason)
			continue
		}
		fmt.Printf("%s: %.2f\n", m.ID, value)
	}
	// Output:
	// lhl: 0.00
	// note-to-beat: 1.50
	// keith: - (the bar is not a power of two of pulses)
}

func ExamplePattern() {
	// One pattern for many phrases: nothing is allocated after the first.
	var p measure.Pattern
	for _, boxes := range []string{"x x x x", "x .x .x x", ".x .x .x .x"} {
		p.Set(rhythm.MustParse(boxes, "4/4", 96))
		fmt.Println(boxes, measure.LonguetHigginsLee(&p))
	}
	// Output:
	// x x x x 0
	// x .x .x x 2
	// .x .x .x .x 4
}

func ExampleParsePattern() {
	// A published timeline is a cycle of 16 pulses, four a beat.
	son, err := measure.ParsePattern("x..x..x...x.x...", 4, 2, 2, 2, 2)
	if err != nil {
		fmt.Println(err)
		return
	}
	son.Cyclic = true
	distance, _ := measure.NoteToBeat(son)
	fmt.Println(measure.ToussaintMetrical(son), distance)
	// Output: 4 2.8
}

func ExampleSyncopations() {
	phrase := rhythm.MustParse("x.x. ..x. x.x. ..x.", "4/4", 96)
	p := measure.FromPhrase(phrase)
	for _, s := range measure.Syncopations(nil, p) {
		fmt.Printf("the note at pulse %d leaves pulse %d silent, strength %d\n", s.Note, s.Rest, s.Strength)
	}
	// Output:
	// the note at pulse 2 leaves pulse 4 silent, strength 1
	// the note at pulse 10 leaves pulse 12 silent, strength 1
}

func ExampleBestClock() {
	p := measure.FromPhrase(rhythm.MustParse("x.xx xx x.x. x...", "4/4", 96))
	clock, _ := measure.BestClock(p)
	fmt.Printf("ticks every %d pulses from pulse %d: %d on silence, %d without accent\n", clock.Unit, clock.Phase, clock.Silent, clock.Unaccented)
	// Output: ticks every 4 pulses from pulse 0: 0 on silence, 0 without accent
}
