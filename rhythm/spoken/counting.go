package spoken

import (
	"strconv"

	"clapladder.example/rhythm"
)

// counting gives the words of one beat.
func counting(p place) []string {
	units := p.meter.BeatUnits(p.beat)
	first := p.beat + 1
	numbered := 1 // numbers in the beat
	switch p.meter.Kind() {
	case rhythm.Compound:
		first, numbered = p.beat*3+1, units
	case rhythm.Additive:
		first, numbered = 1, units
	}
	words := make([]string, p.boxes)
	if p.boxes%numbered != 0 || numbered > 1 && !halvings(p.boxes/numbered) {
		numbered = 1 // a duplet, a quadruplet or another division across the eighths
	}
	each := p.boxes / numbered
	for k := range numbered {
		copy(words[k*each:], parts(first+k, each))
	}
	return words
}

// parts names n parts of the beat or eighth with the given number.
func parts(number, n int) []string {
	words := make([]string, n)
	named := []string{"", "e", "&", "a"}
	switch {
	case n == 2:
		named = []string{"", "&"}
	case n == 3:
		named = []string{"", "trip", "let"}
	case n == 6:
		named = []string{"", "&", "trip", "&", "let", "&"}
	case !halvings(n):
		named = nil
		for j := range n {
			named = append(named, strconv.Itoa(j+1))
		}
	}
	for j := range words {
		words[j] = "ta"
		if j*len(named)%n == 0 {
			words[j] = named[j*len(named)/n]
		}
	}
	words[0] = strconv.Itoa(number)
	return words
}

// halvings reports whether n is 1, 2, 4, 8 or 16.
func halvings(n int) bool { return n > 0 && n&(n-1) == 0 }
