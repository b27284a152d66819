package spoken

import (
	"fmt"
	"math"

	"clapladder.example/rhythm"
)

// Place names a place of a phrase as people who count aloud say it: "beat 2", "the “and” of 2",
// "count 4" in a compound metre; with "in bar 2" behind it where the phrase has several bars. The
// step need not be whole. A place that has no name of its own is named by the nearest that has:
// "just after beat 2". A place after the phrase goes on from its last bar.
func Place(p rhythm.Phrase, step float64) string {
	bar, beat := p.PositionAt(step)
	return inBar(p, bar, PlaceInBar(p.Meter(), beat))
}

// Beat names the whole beat in which a step lies: "beat 3", "the beat on count 4" in a compound
// metre, "group 2" in an additive one, each with its bar as in [Place].
func Beat(p rhythm.Phrase, step float64) string {
	bar, beat := p.PositionAt(step)
	whole := math.Floor(beat)
	text := named(p.Meter(), whole)
	switch p.Meter().Kind() {
	case rhythm.Compound:
		text = "the beat on " + text
	case rhythm.Additive:
		text = fmt.Sprintf("group %.0f", whole)
	}
	return inBar(p, bar, text)
}

func inBar(p rhythm.Phrase, bar int, text string) string {
	if p.Bars() > 1 {
		text += fmt.Sprintf(" in bar %d", bar)
	}
	return text
}

// On is [Place] with the preposition it needs: "on beat 2", "just after beat 2".
func On(p rhythm.Phrase, step float64) string {
	if _, beat := p.PositionAt(step); named(p.Meter(), beat) == "" {
		return Place(p, step)
	}
	return "on " + Place(p, step)
}

// PlaceInBar is [Place] for a beat from 1 with its fraction, as [rhythm.Phrase.PositionAt] gives
// it.
func PlaceInBar(m rhythm.Meter, beat float64) string {
	if text := named(m, beat); text != "" {
		return text
	}
	// Counts are the finest places that every phrase of the metre has.
	n := float64(counts(m, beat))
	count := (beat - math.Floor(beat)) * n
	if count-math.Floor(count) <= 0.5 {
		return "just after " + named(m, math.Floor(beat)+math.Floor(count)/n)
	}
	return "just before " + named(m, math.Floor(beat)+math.Ceil(count)/n)
}

// counts is how many numbers [Counting] gives a beat.
func counts(m rhythm.Meter, beat float64) int {
	if m.Kind() == rhythm.Simple {
		return 1
	}
	return m.BeatUnits(beatOfBar(m, beat))
}

// beatOfBar is the beat from 0, also where the bar is left.
func beatOfBar(m rhythm.Meter, beat float64) int {
	n := m.Beats()
	return ((int(math.Floor(beat))-1)%n + n) % n
}

// named is a place by the words of [Counting]; empty where it has none.
func named(m rhythm.Meter, beat float64) string {
	whole := math.Floor(beat + nearEnough)
	n := counts(m, whole)
	count := (beat - whole) * float64(n) // from the start of the beat
	number := math.Floor(count + nearEnough)
	part := count - number
	text := ""
	switch m.Kind() {
	case rhythm.Compound:
		text = fmt.Sprintf("count %.0f", (whole-1)*float64(n)+number+1)
	case rhythm.Additive:
		text = fmt.Sprintf("count %.0f of group %.0f", number+1, whole)
	default:
		text = fmt.Sprintf("beat %.0f", whole)
	}
	if math.Abs(part) < nearEnough {
		return text
	}
	if m.Kind() == rhythm.Simple {
		text = fmt.Sprintf("%.0f", whole)
	}
	for _, p := range partNames {
		if math.Abs(part-p.part) < nearEnough {
			return p.name + " of " + text
		}
	}
	return ""
}

const nearEnough = 1e-3 // of a count: positions may be rounded to four digits

// partNames are the parts of a count. The letters are those of "1 e & a".
var partNames = [...]struct {
	part float64
	name string
}{
	{1.0 / 2, "the “and”"},
	{1.0 / 4, "the “e”"},
	{3.0 / 4, "the “a”"},
	{1.0 / 3, "the second triplet"},
	{2.0 / 3, "the last triplet"},
}
