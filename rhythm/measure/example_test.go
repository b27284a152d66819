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

func ExampleParsePattern() {
	// A published timeline is a cycle of 16 pulses, four a beat.
	son, err := measure.ParsePattern("x..x..x...x.x...", 4, 2, 2, 2, 2)
	if err != nil {
		fmt.Println(err)
		return
	}
	son.Cyclic = true
	for _, id := range []string{"metrical", "note-to-beat"} {
		m, _ := measure.Find(id)
		value, _ := m.On(son)
		fmt.Println(m.Name, value)
	}
	// Output:
	// Toussaint metrical complexity 4
	// Weighted note-to-beat distance 2.8
}
