package spoken

import "clapladder.example/rhythm"

// Syllable is one word at one box.
type Syllable struct {
	Step    int    // place of the box, in steps of the phrase's grid
	Text    string // the word, without marks
	Sounded bool   // whether a stroke sounds there; otherwise the word is said quietly or only thought
}

// Line gives the words of a phrase in order of time: one for each box that has a word. Every stroke
// has one. The result is empty for the zero phrase.
func Line(p rhythm.Phrase, s System) []Syllable {
	var line []Syllable
	for i := range p.Beats() {
		for _, box := range beatOf(p, i, s) {
			if box.Text != "" {
				line = append(line, box.Syllable)
			}
		}
	}
	return line
}

// box is a syllable with the letter of its box.
type box struct {
	Syllable
	letter byte
}

// beatOf gives every box of beat i. Boxes without a word have an empty text.
func beatOf(p rhythm.Phrase, i int, s System) []box {
	n, meter := p.BoxesPerBeat(i), p.Meter()
	if n == 1 && meter.Kind() == rhythm.Additive {
		n = meter.BeatUnits(i % meter.Beats()) // unequal beats are only told apart by their units
	}
	letters := p.Boxes(i, n)
	start := p.BeatSteps()[i]
	length := p.BeatSteps()[i+1] - start
	boxes := make([]box, n)
	for j := range boxes {
		boxes[j] = box{Syllable{Step: start + j*length/n, Sounded: letters[j] != '.'}, letters[j]}
	}
	place := place{meter: meter, beat: i % meter.Beats(), boxes: n}
	switch s {
	case sayLengths:
		nameLengths(p, i, boxes)
		return boxes
	case sayBeatFunction:
		place.words = beatFunction
	case sayMacroMicro:
		place.words = macroMicro
	case saySouthIndian:
		place.words = southIndian
	default:
		place.words = counting
	}
	for j, text := range place.words(place) {
		boxes[j].Text = text
	}
	return boxes
}

// place is all that systems by place in the beat look at.
type place struct {
	meter rhythm.Meter
	beat  int // in the bar, from 0
	boxes int
	words func(place) []string
}
