package fit

import (
	"math"

	"clapladder.example/patterns/fitting/internal/rank"
	"clapladder.example/rhythm"
)

// SequenceOrder says how well an order of phrases agrees with one published teaching sequence.
type SequenceOrder struct {
	Sequence string  // its name
	Classes  int     // classes of content that both have
	Tau      float64 // Kendall's tau-b
	Best     float64 // the most that tau-b could be for an order without ties, since the sequence has many
}

// Placed is a phrase with its place in an order: a step, a tier or a difficulty.
type Placed struct {
	Phrase rhythm.Phrase // what is placed
	Place  float64       // larger is later
}

// CompareOrder compares an order of phrases with every published sequence, over classes of content.
// A class lies where a leader who goes up the order meets it first; in the sequence it lies at its
// step.
func CompareOrder(d *Data, order []Placed) []SequenceOrder {
	first := map[string]float64{}
	for _, p := range order {
		for _, class := range Contents(p.Phrase) {
			if place, seen := first[class]; !seen || p.Place < place {
				first[class] = p.Place
			}
		}
	}
	var orders []SequenceOrder
	for _, name := range d.Sequences() {
		var ours, theirs, untied []float64
		for _, step := range d.Steps {
			if step.Sequence != name {
				continue
			}
			for _, class := range step.Classes {
				if place, ok := first[class]; ok {
					ours, theirs = append(ours, place), append(theirs, float64(step.Number))
					untied = append(untied, float64(len(untied)))
				}
			}
		}
		orders = append(orders, SequenceOrder{
			name, len(ours), rank.KendallB(ours, theirs), rank.KendallB(untied, theirs),
		})
	}
	return orders
}

// MeanAndLowest sum up the orders.
func MeanAndLowest(orders []SequenceOrder) (mean, lowest float64) {
	lowest = math.Inf(1)
	for _, o := range orders {
		mean += o.Tau / float64(len(orders))
		lowest = min(lowest, o.Tau)
	}
	return mean, lowest
}
