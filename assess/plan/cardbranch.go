package plan

import (
	"cmp"
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
	b.chosen = make([]int, cells)
	// reach[row][column] are the groups that come to a cell.
	reach := make([][]*crowd, b.depth)
	for row := range reach {
		reach[row] = make([]*crowd, b.depth-row)
	}
	var out []exit
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
			if row+column == b.depth-1 {
				out = append(out, exit{row, column, false, lost}, exit{row, column, true, got})
				continue
			}
			merge(&reach[row][column+1], got)
			merge(&reach[row+1][column], lost)
		}
	}
	b.ends(out)
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
	people := cmp.Or(float64(b.People), unknownPeople)
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
	near, ordered := b.steps(row, column)
	hardest := hardShare
	if row == 0 {
		hardest = afterGot
	}
	for _, rule := range [...]struct {
		step  between
		times int // how often the phrase may have come before
	}{{near, 0}, {ordered, 0}, {ordered, maxRepeats}} {
		allowed := func(i int) bool {
			return before[i] <= rule.times && expected[i].Share >= hardest &&
				rule.step.holds(b.bank[i].Difficulty)
		}
		if best := b.tellingMost(expected, allowed, neighbours); best >= 0 {
			return best, expected[best], nil
		}
	}
	// Nothing is easy enough: the easiest that keeps the order, one that came least often first.
	// There is one: what was called on the left, or above.
	easiest := -1
	for _, i := range b.caller.easy {
		if ordered.holds(b.bank[i].Difficulty) &&
			(easiest < 0 || before[i] < before[easiest] && before[easiest] > maxRepeats) {
			easiest = i
		}
	}
	if easiest < 0 {
		easiest = b.caller.easy[0]
	}
	return easiest, expected[easiest], nil
}

// between is a range of difficulties, ends included.
type between struct{ low, high float64 }

var anywhere = between{math.Inf(-1), math.Inf(1)}

// within is the part of r that s holds too; where there is none, s.
func (r between) within(s between) between {
	both := between{max(r.low, s.low), min(r.high, s.high)}
	if both.low > both.high {
		return s
	}
	return both
}

func (r between) holds(difficulty float64) bool { return difficulty >= r.low && difficulty <= r.high }

// steps are the difficulties that suit a cell: near its goal, and those that are merely in order,
// no easier than the one on the left and no harder than the one above. A step up is never larger
// than a leader would take.
func (b *cardBuilder) steps(row, column int) (near, ordered between) {
	ordered = anywhere
	if row == 0 && column == 0 {
		ordered.high = b.lastOpening() + maxStepUp
	}
	if column > 0 {
		left := b.bank[b.chosen[b.index(row, column-1)]].Difficulty
		ordered = between{left, left + maxStepUp}
	}
	if row > 0 {
		ordered.high = min(ordered.high, b.bank[b.chosen[b.index(row-1, column)]].Difficulty)
	}
	ordered = b.room(row, column).within(ordered)
	goal := b.goal(row, column)
	return between{goal - nearGoal, goal + nearGoal}.within(ordered), ordered
}

// room are the difficulties that leave an easier phrase, and a harder one, for every call that may
// follow, as far as the bank has so many.
func (b *cardBuilder) room(row, column int) between {
	n := len(b.caller.easy)
	after := min((b.depth-row-column)/2, (n-1)/2) // each may come twice
	return between{b.bank[b.caller.easy[after]].Difficulty, b.bank[b.caller.easy[n-1-after]].Difficulty}
}

// goal is the difficulty that a cell should have: a got call leads a stretch up, so that the way
// where all are got ends at the hardest tier the group may have, and a lost one so far down that
// the ends lie a tier apart, two at each cell of the last diagonal.
func (b *cardBuilder) goal(row, column int) float64 {
	first := min(b.Prior.Level-firstBelow, b.lastOpening()+maxStepUp)
	if len(b.chosen) > 0 && row+column > 0 {
		first = b.bank[b.chosen[0]].Difficulty
	}
	top := min(float64(b.highest), b.Prior.Level+farGroup*b.Prior.LevelSD)
	rise := min(max((top-first)/float64(b.depth-1), leastRise), maxStepUp)
	easiest := b.bank[b.caller.easy[0]].Difficulty
	fall := min(max(endsApart-rise, leastFall), max((first-easiest)/float64(b.depth-1), 0))
	return first + rise*float64(column) - fall*float64(row)
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
func (b *cardBuilder) tellingMost(expected []ability.Candidate, allowed func(int) bool,
	neighbours []rhythm.Phrase,
) int {
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
		Place:    cellName(row, column), Row: row, Column: column, Share: share,
		Got: cellName(row, column+1), Lost: cellName(row+1, column),
	}
}

// cellName is how a cell is called on the card.
func cellName(row, column int) string { return fmt.Sprintf("%c%d", 'A'+row, column+1) }
