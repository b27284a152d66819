package musicxml

import (
	"fmt"
	"math"
	"slices"

	"clapladder.example/rhythm"
)

// fineUnit is the number of steps in a written unit: the least common multiple of 1 to 16.
const fineUnit = 720720

// phrase sets the onsets of a part on the grid. tempo 0 takes the score's.
func (p *part) phrase(tempo float64) (rhythm.Phrase, error) {
	unit := int64(p.meter.Unit())
	barSteps := int64(fineUnit) * int64(p.meter.Count())
	var strokes []rhythm.Stroke
	for _, o := range p.onsets {
		// at/divisions quarters are at*unit/(4*divisions) written units.
		over := o.at * unit * fineUnit
		if o.at > math.MaxInt64/(unit*fineUnit) || over%(4*o.divisions) != 0 {
			return rhythm.Phrase{}, &Error{
				Where:   p.where(o),
				Message: "a note lies on no box: its beat would need more than 16",
				Advice:  "write a plainer rhythm, or quantise the score",
			}
		}
		strokes = append(strokes, rhythm.Stroke{Step: int(int64(o.bar)*barSteps +
			over/(4*o.divisions)), Sound: o.sound, Accent: o.accent})
	}
	strokes = merge(strokes)
	switch {
	case tempo != 0:
	case p.tempo > 0:
		tempo = math.Round(1000*p.tempo/p.meter.TempoQuarters()) / 1000
	default:
		tempo = rhythm.DefaultTempo
	}
	phrase, err := rhythm.New(p.meter, tempo, p.bars, fineUnit*int(unit)/4, strokes)
	if err != nil {
		return phrase, &Error{
			Where: fmt.Sprintf("part %q", p.name), Message: err.Error(),
			Advice: "give another tempo, or write a plainer rhythm", Err: err,
		}
	}
	return phrase, nil
}

func (p *part) where(o onset) string { return fmt.Sprintf("part %q, bar %d", p.name, o.bar+1) }

// merge makes one stroke of those at one place: accented if any is, the first in the list of
// sounds.
func merge(strokes []rhythm.Stroke) []rhythm.Stroke {
	slices.SortStableFunc(strokes, func(a, b rhythm.Stroke) int { return a.Step - b.Step })
	var out []rhythm.Stroke
	for _, s := range strokes {
		last := len(out) - 1
		if last >= 0 && out[last].Step == s.Step {
			out[last].Accent = out[last].Accent || s.Accent
			out[last].Sound = min(out[last].Sound, s.Sound)
			continue
		}
		out = append(out, s)
	}
	return out
}
