package response

import (
	"math"
	"sort"

	"clapladder.example/rhythm"
)

// slot is a place where the group may clap.
type slot struct {
	step float64 // of the phrase's grid; may lie before 0 or at and after the end
	note int     // index of the stroke, -1 where the phrase has none
}

// closest is the least distance between slots that can be told apart, as time.
const closest = 0.085

// slots lists the notes and, between them, the places people slip to: the divisions of the beat
// that the phrase uses, halves (thirds in compound beats) in any case; one place before the first
// note and the beat after the last bar.
func slots(p rhythm.Phrase, stepSeconds float64) []slot {
	var all []slot
	for i, s := range p.Strokes() {
		all = append(all, slot{float64(s.Step), i})
	}
	notes := len(all)
	free := func(step float64) bool {
		for _, s := range all {
			if math.Abs(s.step-step)*stepSeconds < closest {
				return false
			}
		}
		return true
	}
	beats := p.BeatSteps()
	add := func(step float64) {
		if free(step) {
			all = append(all, slot{step, -1})
		}
	}
	for i := range p.Beats() { // beats first: they win over nearby divisions
		add(float64(beats[i]))
	}
	add(float64(p.Steps()))
	for i := range p.Beats() {
		start, length := float64(beats[i]), float64(beats[i+1]-beats[i])
		usual := 2
		if p.Meter().Kind() == rhythm.Compound {
			usual = 3
		}
		for _, division := range []int{p.BoxesPerBeat(i), usual} {
			for k := 1; k < division; k++ {
				add(start + length*float64(k)/float64(division))
			}
		}
	}
	if first := all[0].step; notes > 0 {
		add(first - float64(beats[1]-beats[0])/2)
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].step < all[j].step })
	return all
}
