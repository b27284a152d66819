package plan

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// Shape of a card.
const (
	defaultCalls = 10
	leastCalls   = 8
	mostCalls    = 12

	// Steps between neighbouring cells, tiers. Steps that can be heard also tell
	// more over the whole card than the greedy choice of a nearer phrase.
	leastRise = 0.7
	leastFall = 0.5
	endsApart = 2.0 // tiers between neighbours of the last diagonal, each with two ends
	nearGoal  = 0.4 // tiers from its goal within which a cell's call is looked for first
	farGroup  = 2.0 // standard deviations of the prior up to which the card reaches

	// afterGot is the least share expected to get a call that follows only got ones: somebody has
	// to find out where it ends.
	afterGot = 0.35
)

// branchings is the number of calls of the branching part: 6 to 8, in 21 to 36
// cells, so that the card still fits a page that is read at arm's length.
func branchings(calls int) int { return calls/2 + 2 }

// NewCard lays out a warm-up. The way where all calls are got climbs, in steps that a leader would
// take, to the hardest tier that the group may have; the others lie below it, so far apart that the
// ends are a tier apart. Near those goals the calls expected to tell most are taken, within the
// manners of leading: after a got call comes no easier one, after a lost one no harder one, none is
// hard for those who have lost one, and none is repeated on a way. Where the bank is too small for
// all of that, phrases come again, three times on a way at most if it can be. Longer cards have a
// longer opening. The slice is not changed.
func NewCard(bank []patterns.Graded, o CardOptions) (*Card, error) {
	b, err := newCardBuilder(bank, o)
	if err != nil {
		return nil, err
	}
	b.open()
	b.stepUp()
	if err := b.branch(); err != nil {
		return nil, err
	}
	b.card.Closing = []CardCall{b.plain}
	return b.card, nil
}

// cardBuilder holds a card while it is laid out.
type cardBuilder struct {
	CardOptions
	bank    []patterns.Graded
	caller  *Caller
	curves  *spreadCurves
	highest int // tier
	depth   int // calls of the branching part

	card    *Card
	plain   CardCall
	opening map[int]int  // how often each place in bank is called in opening and closing
	chosen  []int        // place in bank by cell
	used    map[int]bool // places anywhere on the card
}

func newCardBuilder(bank []patterns.Graded, o CardOptions) (*cardBuilder, error) {
	o.Calls = cmp.Or(o.Calls, defaultCalls)
	if o.Calls < leastCalls || o.Calls > mostCalls {
		return nil, fmt.Errorf("a card of %d calls can't be made; ask for %d to %d", o.Calls,
			leastCalls, mostCalls)
	}
	if len(bank) == 0 {
		return nil, errors.New("the bank holds no phrase to call; write at least one")
	}
	var err error
	if o.Comfort, err = checkedComfort(o.Comfort); err != nil {
		return nil, err
	}
	if o.Tempo != 0 {
		if bank, err = atTempo(o.Model, bank, o.Tempo); err != nil {
			return nil, err
		}
	}
	b := &cardBuilder{
		bank:  bank,
		depth: branchings(o.Calls),
		card:  &Card{Schema: cardSchema, Tempo: o.Tempo, Comfort: o.Comfort},
		used:  map[int]bool{}, opening: map[int]int{},
	}
	for _, g := range bank {
		b.highest = max(b.highest, g.Tier)
	}
	if o.Prior == (ability.Prior{}) {
		o.Prior = ability.PriorForTiers(b.highest)
	}
	o.Prior = o.Prior.Complete()
	if _, err := ability.NewPosterior(o.Prior); err != nil {
		return nil, err
	}
	b.CardOptions = o
	if b.curves, err = newSpreadCurves(o.Prior); err != nil {
		return nil, err
	}
	// What a call tells is weighed for answers that are recorded: the card is also
	// the order of a recorded warm-up.
	b.caller, err = NewCaller(bank, Microphone{People: o.People, Comfort: o.Comfort})
	return b, err
}

// open chooses the plain beats on which the card begins and ends.
func (b *cardBuilder) open() {
	best := -1
	for i := range b.bank {
		if isPlain(b.bank[i].Phrase) && (best < 0 || b.plainer(i, best)) {
			best = i
		}
	}
	if best >= 0 {
		b.used[best] = true
		b.opening[best] = 2 // the card closes on it as well
		b.plain = b.call(best)
	} else {
		b.plain = b.ownPlain()
		b.card.Remarks = append(b.card.Remarks,
			"the bank has no plain beats, so the card begins and ends on a bar of them; add them "+
				"to your bank, so that they are recognised in a recording")
	}
	b.card.Opening = []CardCall{b.plain}
}

// isPlain reports whether a phrase is one clap on every beat and nothing else.
func isPlain(p rhythm.Phrase) bool {
	if len(p.Strokes()) != p.Beats() || p.Beats() < 2 {
		return false
	}
	for i, stroke := range p.Strokes() {
		if stroke.Step != p.BeatSteps()[i] || stroke.Sound != rhythm.Clap {
			return false
		}
	}
	return true
}

var fourFour = rhythm.MustParse("x x x x", "4/4", rhythm.DefaultTempo).Meter()

// plainer reports whether phrase i makes the better plain beats than j: four to
// a bar, then easier, then shorter.
func (b *cardBuilder) plainer(i, j int) bool {
	p, q := &b.bank[i], &b.bank[j]
	if a, c := p.Phrase.Meter() == fourFour, q.Phrase.Meter() == fourFour; a != c {
		return a
	}
	if p.Difficulty != q.Difficulty {
		return p.Difficulty < q.Difficulty
	}
	return p.Phrase.Beats() < q.Phrase.Beats()
}

func (b *cardBuilder) ownPlain() CardCall {
	tempo := cmp.Or(b.Tempo, rhythm.DefaultTempo)
	p := rhythm.MustParse("x x x x", "4/4", tempo)
	m := b.Model
	if m == nil {
		m = difficulty.DefaultModel()
	}
	g := patterns.GradePhrase(m, p)
	return CardCall{
		Name: "plain beats", Notation: p.String(), Meter: p.Meter().String(), Tempo: tempo,
		Difficulty: g.Difficulty, Tier: g.Tier, Rhythm: p,
	}
}

func (b *cardBuilder) call(place int) CardCall {
	g := &b.bank[place]
	return CardCall{
		Phrase: g.ID, Name: g.Name, Notation: g.Phrase.Written(), Meter: g.Phrase.Meter().String(),
		Tempo:      g.Phrase.Tempo(),
		Difficulty: g.Difficulty, Tier: g.Tier, Rhythm: g.Phrase,
	}
}

// stepUp puts calls between plain beats and the branching part, in even and small
// steps of difficulty towards what the group is expected to find easy.
func (b *cardBuilder) stepUp() {
	count := b.Calls - 1 - b.depth - len(b.card.Opening)
	top := max(b.Prior.Level-firstBelow, b.plain.Difficulty)
	for k := 1; k <= count; k++ {
		goal := b.plain.Difficulty + (top-b.plain.Difficulty)*float64(k)/float64(count+1)
		highest := b.lastOpening() + maxStepUp
		goal = min(goal, highest)
		best := -1
		for i := range b.bank {
			if b.opening[i] == 0 && b.bank[i].Difficulty <= highest &&
				(best < 0 || b.offGoal(i, goal) < b.offGoal(best, goal)) {
				best = i
			}
		}
		if best < 0 { // a tiny bank: plain beats again
			b.card.Opening = append(b.card.Opening, b.plain)
			continue
		}
		b.used[best] = true
		b.opening[best]++
		b.card.Opening = append(b.card.Opening, b.call(best))
	}
}

// lastOpening is the difficulty of the call before the branching part.
func (b *cardBuilder) lastOpening() float64 {
	return b.card.Opening[len(b.card.Opening)-1].Difficulty
}

// offGoal is how badly a phrase fits into the opening: its distance from the
// difficulty asked for, in tiers, more in another metre than the plain beats.
func (b *cardBuilder) offGoal(place int, goal float64) float64 {
	off := math.Abs(b.bank[place].Difficulty - goal)
	if b.bank[place].Phrase.Meter() != b.plain.Rhythm.Meter() {
		off += 0.5
	}
	return off
}
