package plan

import (
	"cmp"
	"errors"
	"slices"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/words"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// Role says what a choice is for.
type Role string

// The roles.
const (
	Safe     Role = "safe"     // a sure start
	Main     Role = "main"     // the hardest that the group is sure enough to manage
	Stretch  Role = "stretch"  // a step up
	Fallback Role = "fallback" // easier, over the same piece
	Split    Role = "split"    // one of the parts for a mixed room
)

// Chances that decide what a choice is good for.
const (
	// usualSure is how likely a main choice is to work at least, where a piece is that likely.
	usualSure = 2.0 / 3

	leastChance  = 1.0 / 3 // below it for every piece, none is recommended
	safeChance   = 0.95    // of a sure start
	safeGap      = 0.5     // tiers by which the sure start is easier than the main choice
	fallChance   = 0.90    // from which a fallback is sure, and the harder of two is better
	stretchLeast = 0.10    // of a stretch
)

// Request is what [Choose] chooses from and for. It is not changed.
type Request struct {
	Pieces []patterns.GradedPiece // in the order of the file, which decides between equals
	Belief *ability.Posterior     // about the group; may be nil where Tier is given
	Tier   int                    // comfort tier named by the leader, 1 to 20; replaces Belief; 0: none
	// share of the group that should manage a choice, 0.05 to 0.95; 0: ability.DefaultComfort
	Comfort float64
	Split   bool    // the room is mixed: plan parts as well
	Sure    float64 // chance that a main choice should have, 0.5 to 0.99; 0: two in three
	Filter  Filter  // pieces to leave out
	// Calibrate is what a chance is worth by how earlier ones came true; rising, from and to 0-1.
	// nil: as it is.
	Calibrate func(chance float64) float64
	Model     *difficulty.Model // grades simpler variants; nil: difficulty.DefaultModel
}

// Choice is one suggestion: a part of a piece, or a simpler variant of one.
type Choice struct {
	Role  Role     // what it is for
	For   Role     // the role of the choice that a fallback belongs to; otherwise empty
	Piece string   // ID
	Name  string   // of the piece
	Part  string   // name of the part or variant; empty for the core part
	Tags  []string // of the piece; read only

	Phrase     rhythm.Phrase // what is played
	Tier       int           // the whole tier it belongs to
	Difficulty float64       // on the tier scale
	Chance     float64       // that at least the comfort share of the group manages it, 0 to 1
	Why        string        // one line
}

// Openers is the material recommended to start with. A nil choice means that
// the repertoire has nothing for it; Main is nil where every piece has a chance
// below one in three.
type Openers struct {
	Safe, Main, Stretch *Choice
	Fallbacks           []Choice // what to do where a choice is lost, in the order of the choices
	// every piece that passes the filter with its chance and no role, the easiest first
	All   []Choice
	Split []Choice // support part first, then lead part; empty if not asked for or not possible
}

// List returns all choices: safe, main, stretch, fallbacks in the same order,
// parts of the split.
func (o *Openers) List() []Choice {
	var all []Choice
	for _, c := range []*Choice{o.Safe, o.Main, o.Stretch} {
		if c != nil {
			all = append(all, *c)
		}
	}
	all = append(all, o.Fallbacks...)
	return append(all, o.Split...)
}

// Fallback returns what to fall back to from the choice with the given role;
// false where there is nothing easier.
func (o *Openers) Fallback(role Role) (Choice, bool) {
	for _, c := range o.Fallbacks {
		if c.For == role {
			return c, true
		}
	}
	return Choice{}, false
}

// Choose picks openers. The chance of a piece is that at least the comfort share of
// the group manages its core part. The main choice is the hardest piece whose chance
// is at least Sure; where there is none, the likeliest, and its reason says that it
// is a risk; where that has less than one chance in three, there are no openers.
// The stretch is the next piece up, so that nothing lies between. Where Tier is
// given, the main choice is the hardest piece not above it.
//
// The error is a *[NoPieceError] where nothing passes the filter.
func Choose(r Request) (*Openers, error) {
	c, err := newChooser(r)
	if err != nil {
		return nil, err
	}
	main := c.main()
	if c.Tier == 0 && c.chance[main] < leastChance {
		return &Openers{All: c.all()}, nil
	}
	o := &Openers{Main: c.choice(Main, main), All: c.all()}
	o.Main.Why = c.whyMain(main)
	if i, ok := c.safe(main); ok {
		o.Safe = c.choice(Safe, i)
		o.Safe.Why = whySafe(c.pieces[main].Difficulty-c.pieces[i].Difficulty, c.chance[i])
	}
	if i, ok := c.stretch(main); ok {
		o.Stretch = c.choice(Stretch, i)
		o.Stretch.Why = whyStretch(c.pieces[i].Difficulty-c.pieces[main].Difficulty, o.Stretch.Chance)
	}
	for _, choice := range []*Choice{o.Safe, o.Main, o.Stretch} {
		if choice == nil {
			continue
		}
		if f, ok := c.fallback(choice); ok {
			o.Fallbacks = append(o.Fallbacks, f)
		}
	}
	if r.Split {
		o.Split = c.split(main)
	}
	return o, nil
}

// chooser holds a request made ready: pieces that pass the filter with their
// chances.
type chooser struct {
	Request
	pieces []patterns.GradedPiece
	chance []float64 // of the core part, same order
	order  []int     // places in pieces, easiest first, earlier in the file first
}

func newChooser(r Request) (*chooser, error) {
	var err error
	if r.Comfort, err = checkedComfort(r.Comfort); err != nil {
		return nil, err
	}
	r.Sure = cmp.Or(r.Sure, usualSure)
	if r.Tier != 0 {
		if r.Belief, err = AtTier(r.Tier, r.Comfort); err != nil {
			return nil, err
		}
	}
	if r.Belief == nil {
		return nil, errors.New("openers need a belief about the group, or a tier")
	}
	if r.Model == nil {
		r.Model = difficulty.DefaultModel()
	}
	c := &chooser{Request: r}
	if c.pieces, err = r.Filter.apply(r.Pieces); err != nil {
		return nil, err
	}
	c.chance = make([]float64, len(c.pieces))
	c.order = make([]int, len(c.pieces))
	for i, p := range c.pieces {
		c.chance[i] = c.managed(p.Difficulty, p.SD)
		c.order[i] = i
	}
	slices.SortStableFunc(c.order, func(a, b int) int {
		return cmp.Compare(c.pieces[a].Difficulty, c.pieces[b].Difficulty)
	})
	return c, nil
}

func (c *chooser) managed(difficulty, sd float64) float64 {
	chance := c.Belief.ChanceManaged(difficulty, sd, c.Comfort)
	if c.Calibrate != nil {
		chance = c.Calibrate(chance)
	}
	return words.Rounded(chance) // once, so that all that is decided and said agrees
}

// inReach reports whether a piece may be the main choice.
func (c *chooser) inReach(i int) bool {
	if c.Tier != 0 {
		return c.pieces[i].Tier <= c.Tier
	}
	return c.chance[i] >= words.Rounded(c.Sure)
}

// main returns the hardest piece in reach, or the surest.
func (c *chooser) main() int {
	best, surest := -1, c.order[0]
	for _, i := range c.order {
		if c.inReach(i) && (best < 0 || c.pieces[i].Difficulty > c.pieces[best].Difficulty) {
			best = i
		}
		if c.chance[i] > c.chance[surest] {
			surest = i
		}
	}
	if best < 0 {
		return surest
	}
	return best
}

// safe returns the hardest piece that is sure and clearly easier than the main
// choice, or the surest easier one.
func (c *chooser) safe(main int) (int, bool) {
	best := -1
	for _, i := range c.order {
		gap := c.pieces[main].Difficulty - c.pieces[i].Difficulty
		if gap <= 0 {
			break
		}
		if c.chance[i] < c.chance[main] {
			continue // graded with more doubt than the main choice
		}
		sure := gap >= safeGap && c.chance[i] >= safeChance
		if best < 0 || sure && c.pieces[i].Difficulty > c.pieces[best].Difficulty {
			best = i
		}
	}
	return best, best >= 0
}

// stretch returns the next piece up from the main choice.
func (c *chooser) stretch(main int) (int, bool) {
	for _, i := range c.order {
		if c.pieces[i].Difficulty > c.pieces[main].Difficulty && !c.inReach(i) {
			return i, c.chance[i] >= stretchLeast
		}
	}
	return 0, false
}

// all lists every piece.
func (c *chooser) all() []Choice {
	all := make([]Choice, len(c.order))
	for k, i := range c.order {
		all[k] = *c.choice("", i)
	}
	return all
}

// choice suggests the core part of a piece.
func (c *chooser) choice(role Role, i int) *Choice {
	p := c.pieces[i]
	choice := &Choice{
		Role: role, Piece: p.ID, Name: p.Name, Tags: p.Tags,
		Tier: p.Tier, Difficulty: p.Difficulty, Chance: c.chance[i],
	}
	for _, part := range p.Parts {
		if part.Role == bank.Core && part.Difficulty == p.Difficulty {
			choice.Phrase = part.Phrase
			break
		}
	}
	return choice
}

// partChoice suggests another part of a piece.
func (c *chooser) partChoice(role Role, p patterns.GradedPiece, part patterns.GradedPart) Choice {
	return Choice{
		Role: role, Piece: p.ID, Name: p.Name, Tags: p.Tags, Part: part.Name, Phrase: part.Phrase,
		Tier: part.Tier, Difficulty: part.Difficulty, Chance: c.managed(part.Difficulty, part.SD),
	}
}
