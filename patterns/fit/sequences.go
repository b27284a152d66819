package fit

import (
	"math"

	"clapladder.example/patterns"
)

// SequenceOrder says how well the order of a bank agrees with one published teaching sequence.
type SequenceOrder struct {
	Sequence string
	Classes  int     // classes of content that both have
	Tau      float64 // Kendall's tau-b
}

// CompareOrder compares a graded bank with every published sequence. The place of a class of content in the bank is the tier of
// the easiest phrase that has it: the tier at which a leader who goes up the bank meets it first. In the sequence it is the step.
func CompareOrder(d *Data, graded []patterns.Graded) []SequenceOrder {
	first := map[string]float64{}
	for _, g := range graded {
		for _, class := range Contents(g.Phrase) {
			if tier, seen := first[class]; !seen || float64(g.Tier) < tier {
				first[class] = float64(g.Tier)
			}
		}
	}
	var orders []SequenceOrder
	for _, name := range d.Sequences() {
		var bank, sequence []float64
		for _, step := range d.Steps {
			if step.Sequence != name {
				continue
			}
			for _, class := range step.Classes {
				if tier, ok := first[class]; ok {
					bank, sequence = append(bank, tier), append(sequence, float64(step.Number))
				}
			}
		}
		orders = append(orders, SequenceOrder{name, len(bank), KendallB(bank, sequence)})
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
