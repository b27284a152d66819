package plan

import (
	"fmt"
	"maps"
	"math"

	"clapladder.example/assess/ability"
	"clapladder.example/rhythm"
)

// branch fills the triangle of cells row by row and column by column, so that a
// cell's neighbours on the left and above come first.
func (b *cardBuilder) branch() error {
	cells := b.depth * (b.depth + 1) / 2
	b.card.Branch = make([]CardCell, cells)
	b.card.Ends = make([]CardEnd, b.depth+1)
	b.chosen = make([]int, cells)
	// reach[row][column] are the groups that come to a cell or, on the last
	// diagonal, to an end.
	reach := make([][]*crowd, b.depth+1)
	for row := range reach {
		reach[row] = make([]*crowd, b.depth+1-row)
	}
	reach[0][0] = newCrowd(b.Prior)
	for row := range b.depth {
		for column := range b.depth - row {
			here := reach[row][column]
			place, candidate, err := b.choose(row, column, here)
			if err != nil {
				return err
			}
			b.set(row, column, place, candidate.Share)
			got, lost := here.divide(b.answer(place))
			merge(&reach[row][column+1], got)
			merge(&reach[row+1][column], lost)
		}
	}
	for got := range b.card.Ends {
		b.end(got, reach[b.depth-got][got])
	}
	return nil
}

func merge(into **crowd, groups *crowd) {
	if *into == nil {
		*into = groups
		return
	}
	(*into).add(groups)
}

func (b *cardBuilder) answer(place int) answerChance {
	people := float64(b.People)
	if people == 0 {
		people = unknownPeople
	}
	return answerChance{
		curves: b.curves, difficulty: b.bank[place].Difficulty, sd: b.bank[place].SD, people: people,
	}
}

// unknownPeople stands for a group of unknown size, between 10 and 60.
const unknownPeople = 20

func (b *cardBuilder) index(row, column int) int { return row*b.depth - row*(row-1)/2 + column }

// choose picks the phrase of a cell.
func (b *cardBuilder) choose(row, column int, here *crowd) (int, ability.Candidate, error) {
	belief, err := ability.NewPosterior(here.prior(b.Prior))
	if err != nil {
		return 0, ability.Candidate{}, err
	}
	expected := b.caller.forecast(belief)
	before := b.before(row, column)
	neighbours := b.neighbours(row, column)
	small, ordered := b.steps(row, column)
	below := between{math.Inf(-1), ordered.high}
	for _, rule := range [...]struct {
		step  between
		times int // how often the phrase may have come before
	}{{small, 0}, {ordered, 0}, {below, 0}, {below, maxRepeats}} {
		allowed := func(i int) bool {
			return before[i] <= rule.times && expected[i].Share >= hardShare && rule.step.holds(b.bank[i].Difficulty)
		}
		if best := b.tellingMost(expected, allowed, neighbours); best >= 0 {
			return best, expected[best], nil
		}
	}
	// Nothing is easy enough: back to the easiest, which are plain beats as a rule.
	easiest := b.caller.easy[0]
	for _, i := range b.caller.easy {
		if before[i] <= maxRepeats {
			easiest = i
			break
		}
	}
	return easiest, expected[easiest], nil
}

// between is a range of difficulties, ends included.
type between struct{ low, high float64 }

var anywhere = between{math.Inf(-1), math.Inf(1)}

func (r between) holds(difficulty float64) bool { return difficulty >= r.low && difficulty <= r.high }

// steps are the difficulties that are a small step from the neighbours of a cell,
// harder than the one on the left and easier than the one above, and those that
// are merely in that order. A step up is never larger than a leader would take.
func (b *cardBuilder) steps(row, column int) (small, ordered between) {
	small, ordered = anywhere, anywhere
	if row == 0 && column == 0 {
		ordered.high = b.lastOpening() + maxStepUp
		small.high = min(b.Prior.Level-firstBelow, ordered.high)
	}
	if column > 0 {
		left := b.bank[b.chosen[b.index(row, column-1)]].Difficulty
		small, ordered = between{left + leastRise, left + maxStepUp}, between{left, left + maxStepUp}
	}
	if row > 0 {
		above := b.bank[b.chosen[b.index(row-1, column)]].Difficulty
		small = between{max(small.low, above-mostFall), min(small.high, above-leastFall)}
		ordered.high = min(ordered.high, above)
	}
	return small, ordered
}

// before counts, by place in the bank, how often a phrase may have been called on
// the way to a cell, the closing included.
func (b *cardBuilder) before(row, column int) map[int]int {
	before := maps.Clone(b.opening)
	for r := range row + 1 {
		for c := range column + 1 {
			if r < row || c < column {
				before[b.chosen[b.index(r, c)]]++
			}
		}
	}
	return before
}

func (b *cardBuilder) neighbours(row, column int) []rhythm.Phrase {
	var out []rhythm.Phrase
	if column > 0 {
		out = append(out, b.bank[b.chosen[b.index(row, column-1)]].Phrase)
	}
	if row > 0 {
		out = append(out, b.bank[b.chosen[b.index(row-1, column)]].Phrase)
	}
	if len(out) == 0 {
		out = append(out, b.plain.Rhythm)
	}
	return out
}

// tellingMost returns the allowed phrase that tells most, discounted where it is
// on the card already or changes metre or tempo; of equals the earlier in the
// file. It is -1 where none is allowed.
func (b *cardBuilder) tellingMost(expected []ability.Candidate, allowed func(int) bool, neighbours []rhythm.Phrase) int {
	best, most := -1, math.Inf(-1)
	for i, e := range expected {
		if !allowed(i) {
			continue
		}
		off := 0.0
		if b.used[i] {
			off = usedDiscount
		}
		for _, n := range neighbours {
			off += discount(b.bank[i].Phrase, n) / float64(len(neighbours))
		}
		if value := e.Information * (1 - off); value > most {
			best, most = i, value
		}
	}
	return best
}

// usedDiscount is taken off what a phrase tells that is elsewhere on the card.
const usedDiscount = 0.10

func (b *cardBuilder) set(row, column, place int, share float64) {
	b.used[place] = true
	b.chosen[b.index(row, column)] = place
	b.card.Branch[b.index(row, column)] = CardCell{
		CardCall: b.call(place),
		Place:    b.name(row, column), Row: row, Column: column, Share: share,
		Got: b.name(row, column+1), Lost: b.name(row+1, column),
	}
}

// name is how a cell, or an end beyond the last diagonal, is called on the card.
func (b *cardBuilder) name(row, column int) string {
	if row+column == b.depth {
		return fmt.Sprintf("end %d", column+1)
	}
	return fmt.Sprintf("%c%d", 'A'+row, column+1)
}

// outside is the chance, on either side, that the true tier lies beyond the
// stated range.
const outside = 0.05

func (b *cardBuilder) end(got int, groups *crowd) {
	chances := groups.tierChances(b.curves, b.highest, b.Comfort)
	end := CardEnd{Place: fmt.Sprintf("end %d", got+1), Got: got, Chances: chances, ReachedBy: groups.mass()}
	below := 0.0
	for tier, chance := range chances {
		if chance > chances[end.Tier] {
			end.Tier = tier
		}
		if below <= outside {
			end.Low = tier
		}
		if below < 1-outside {
			end.High = tier
		}
		below += chance
	}
	end.Chance = chances[end.Tier]
	b.card.Ends[got] = end
}
