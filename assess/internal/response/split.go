package response

import (
	"fmt"
	"math"
	"slices"

	"clapladder.example/assess/internal/words"
)

// A room splits in two where a part of it claps the whole phrase later or earlier than the others
// by one distance: what it claps lies between the others' notes, one for one, and is missing on
// them.
const (
	splitLeast = 0.22 // of the group, mean over the notes
	splitEach  = 0.1  // of the group, at every note that shows it
	splitNotes = 0.6  // share of the notes that must show it
	splitMost  = 1.15 // of the group, on the notes and beside them: more, and people clapped both
)

// split names a room that split, and tells which extras that explains. Distances tried are half a
// beat and a whole one, before and after.
func (n *namer) split() (explained map[int]bool) {
	beat := float64(n.phrase.Steps()) / float64(n.phrase.Beats())
	best, bestShift := 0.0, 0.0
	for _, shift := range []float64{beat / 2, -beat / 2, beat, -beat} {
		if found, mean := n.shifted(shift); found != nil && mean > best {
			explained, best, bestShift = found, mean, shift
		}
	}
	if explained == nil {
		return nil
	}
	distance, side := "a beat", "late"
	if math.Abs(bestShift) < beat {
		distance = "half a beat"
	}
	if bestShift < 0 {
		side = "early"
	}
	n.found = append(n.found, Error{
		Kind: Split, Weight: best, Text: fmt.Sprintf("the room split: %s clapped it %s %s",
			words.AboutShare(best), distance, side),
	})
	return explained
}

// shifted tells which extras are the phrase's notes moved by a distance in steps, and how many
// clapped them on average; nil where that does not explain what was heard.
func (n *namer) shifted(by float64) (found map[int]bool, mean float64) {
	found = map[int]bool{}
	notes, own := 0, 0.0
	for _, note := range n.result.Notes {
		place := float64(note.Stroke.Step) + by
		if n.noteAt(place) {
			continue // others clap there anyway
		}
		notes++
		own += note.Participation
		for i, x := range n.result.Extras {
			if math.Abs(x.Step-place) < 0.26 && x.Participation >= splitEach {
				found[i] = true
				mean += x.Participation
				break
			}
		}
	}
	if notes < 2 || float64(len(found)) < splitNotes*float64(len(n.result.Notes)) || len(found) < 2 {
		return nil, 0
	}
	mean, own = mean/float64(len(found)), own/float64(notes)
	if mean < splitLeast || mean+own > splitMost {
		return nil, 0
	}
	return found, mean
}

func (n *namer) noteAt(step float64) bool {
	return slices.ContainsFunc(n.result.Notes,
		func(note Note) bool { return math.Abs(float64(note.Stroke.Step)-step) < 0.26 })
}
