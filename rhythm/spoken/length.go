package spoken

import (
	"sort"

	"clapladder.example/rhythm"
)

const restWord = "sh"

// lengthNames are the names by length in twelfths of a quarter, longest first.
var lengthNames = []struct {
	twelfths int
	name     string
}{
	{48, "ta-a-a-a"},
	{36, "ta-a-a"},
	{24, "ta-a"},
	{18, "ta-i"},
	{12, "ta"},
	{9, "tim"},
	{6, "ti"},
	{0, "ka"},
}

// nameLengths names the boxes of beat i.
func nameLengths(p rhythm.Phrase, i int, boxes []box) {
	strokes, beats := p.Strokes(), p.BeatSteps()
	next := sort.Search(len(strokes), func(k int) bool { return strokes[k].Step >= beats[i] })
	triplet := len(boxes) == 3 && p.Meter().BeatUnits(i%p.Meter().Beats()) != 3
	for j := range boxes {
		b := &boxes[j]
		switch {
		case b.Sounded:
			next++
			b.Text = lengthName(p, b.Step, lasts(p, next))
			if triplet {
				b.Text = []string{"tri", "o", "la"}[j]
			}
		case j == 0 && !held(p, i, next):
			b.Text = restWord
		}
	}
}

// lasts is the length in steps of the stroke before strokes[next].
func lasts(p rhythm.Phrase, next int) int {
	strokes, beats := p.Strokes(), p.BeatSteps()
	step := strokes[next-1].Step
	beat := p.BeatAt(step)
	end := beats[beat+1]
	if next < len(strokes) && (strokes[next].Step < end || p.BeatAt(strokes[next].Step) == beat+1) {
		end = strokes[next].Step
	}
	return end - step
}

// held reports whether a stroke of the beat before lasts into beat i. next is the first stroke from
// beat i on.
func held(p rhythm.Phrase, i, next int) bool {
	if next == 0 {
		return false
	}
	strokes, beats := p.Strokes(), p.BeatSteps()
	return strokes[next-1].Step+lasts(p, next) > beats[i]
}

// lengthName is the name of a stroke by its length; sixteenths are ti and ka in turn.
func lengthName(p rhythm.Phrase, step, length int) string {
	quarter := p.StepsPerQuarter()
	for _, l := range lengthNames {
		if length*12 >= l.twelfths*quarter && l.twelfths > 0 {
			return l.name
		}
	}
	// Shorter than an eighth: on an eighth of the beat ti, otherwise ka.
	start := p.BeatSteps()[p.BeatAt(step)]
	if (step-start)*2%quarter == 0 {
		return "ti"
	}
	return "ka"
}
