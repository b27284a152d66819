package patterns

import (
	"cmp"
	"math"
	"slices"

	"clapladder.example/rhythm"
)

// Costs of turning one phrase into another, in strokes.
const (
	lostStroke  = 1.0
	otherSound  = 0.5
	otherAccent = 0.25
	movedStroke = 1.0 // a stroke moved by an eighth note or less; farther away it is another stroke
)

// maxCompared is the number of strokes up to which two phrases are compared stroke by stroke.
const maxCompared = 256

// distance says how unlike two phrases are: 0 for the same strokes in the same time, whatever the
// metre and the tempo, about 1 for phrases that have nothing in common. It is the least cost of
// turning one into the other (strokes left out, added, moved, or made another way), divided by the
// strokes of the richer one. Silence at the end counts as a stroke for every whole beat of
// difference. Distance is symmetric.
func distance(p, q rhythm.Phrase) float64 {
	a, b := p.Strokes(), q.Strokes()
	if len(a) == 0 || len(b) == 0 {
		if len(a) == len(b) {
			return 0
		}
		return 1
	}
	if len(a) > maxCompared || len(b) > maxCompared {
		if p.Equal(q) {
			return 0
		}
		return 1
	}
	quarters := func(s rhythm.Stroke, p rhythm.Phrase) float64 {
		return float64(s.Step) / float64(p.StepsPerQuarter())
	}
	// The edit distance, a row of the table at a time.
	row := make([]float64, len(b)+1)
	for j := range row {
		row[j] = float64(j) * lostStroke
	}
	for _, s := range a {
		corner := row[0]
		row[0] += lostStroke
		for j, t := range b {
			changed := corner + strokeCost(s, t, quarters(s, p)-quarters(t, q))
			cost := min(changed, row[j]+lostStroke, row[j+1]+lostStroke)
			corner, row[j+1] = row[j+1], cost
		}
	}
	difference := float64(p.Steps())/float64(p.StepsPerQuarter()) -
		float64(q.Steps())/float64(q.StepsPerQuarter())
	cost := row[len(b)] + float64(int(max(difference, -difference)))*lostStroke
	return cost / float64(max(len(a), len(b)))
}

// strokeCost is the cost of making one stroke the other, which lies quarters away.
func strokeCost(s, t rhythm.Stroke, quarters float64) float64 {
	cost := 0.0
	switch distance := math.Abs(quarters); {
	case distance > 0.5+1e-9:
		return 2 * lostStroke
	case distance > 1e-9:
		cost = movedStroke
	}
	if s.Sound != t.Sound {
		cost += otherSound
	}
	if s.Accent != t.Accent {
		cost += otherAccent
	}
	return cost
}

// twinTiers is how far apart in predicted difficulty near-duplicates can lie: beyond it phrases are
// not compared.
const twinTiers = 1.0

// twins finds the pairs that are too much alike. Only phrases of near difficulty are compared, so
// that a bank of thousands stays quick.
func twins(graded []Graded) []Twin {
	order := make([]int, len(graded))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(graded[a].Predicted, graded[b].Predicted)
	})
	var found []Twin
	for n, i := range order {
		for _, j := range order[n+1:] {
			if graded[j].Predicted-graded[i].Predicted > twinTiers {
				break
			}
			if !couldBeTwins(graded[i].Phrase, graded[j].Phrase) {
				continue
			}
			if d := distance(graded[i].Phrase, graded[j].Phrase); d < twinDistance {
				first, second := min(i, j), max(i, j)
				found = append(found, Twin{graded[first].ID, graded[second].ID, d})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b Twin) int {
		return cmp.Or(cmp.Compare(a.Distance, b.Distance),
			cmp.Compare(a.First, b.First), cmp.Compare(a.Second, b.Second))
	})
	return found
}

// couldBeTwins reports whether two phrases could be twins at all: their numbers of strokes alone
// are a distance.
func couldBeTwins(p, q rhythm.Phrase) bool {
	a, b := len(p.Strokes()), len(q.Strokes())
	return float64(max(a, b)-min(a, b)) < twinDistance*float64(max(a, b))
}
