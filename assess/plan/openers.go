package plan

import (
	"errors"
	"sort"

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
	mainChance = 0.90
	tooEasyBy  = 2.0 // tiers by which a main choice must not be too easy
	safeChance = 0.97
	safeGap    = 0.5 // tiers by which the sure start is easier than the main choice

	stretchChance = 0.45 // a stretch is the piece whose chance is nearest to this
	stretchLeast  = 0.10 // and at least this
)

// Request is what [Choose] chooses from and for. It is not changed.
type Request struct {
	Pieces  []patterns.GradedPiece // in the order of the file, which decides between equals
	Belief  *ability.Posterior     // about the group; may be nil where Tier is given
	Tier    int                    // comfort tier named by the leader, 1 to 20; replaces Belief; 0: none
	Comfort float64                // share of the group that should manage a choice, 0.05 to 0.95; 0: ability.DefaultComfort
	Split   bool                   // the room is mixed: plan parts as well
	Filter  Filter                 // pieces to leave out
	// Calibrate is what a chance is worth by how earlier ones came true; rising, from and to 0-1. nil: as it is.
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
// the repertoire has nothing for it.
type Openers struct {
	Safe, Main, Stretch *Choice  // Main is never nil
	Fallbacks           []Choice // what to do where a choice is lost, in the order of the choices
	Split               []Choice // support part first, then lead part; empty if not asked for or not possible
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

// Choose picks openers. Take the chance that a piece is too hard, that less than
// the comfort share of the group manages its core part, and the chance that it is
// too easy, that they would manage one two tiers harder. The main choice is the
// hardest piece that is too hard with a chance of at most 0.1, or of at most the
// chance that it is too easy: with a firm belief the first decides, and nine main
// choices of ten are playable; with a loose one, or pieces whose difficulty is only
// guessed, neither mistake is made much oftener than the other. Where Tier is
// given, the main choice is the hardest piece not above it. If no piece fits, it is
// the surest, and its reason says so.
//
// The error is a *[NoPieceError] where nothing passes the filter.
func Choose(r Request) (*Openers, error) {
	c, err := newChooser(r)
	if err != nil {
		return nil, err
	}
	main := c.main()
	o := &Openers{Main: c.choice(Main, main)}
	o.Main.Why = c.whyMain(main)
	if i, ok := c.safe(main); ok {
		o.Safe = c.choice(Safe, i)
		o.Safe.Why = whySafe(c.pieces[main].Difficulty - c.pieces[i].Difficulty)
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
	sort.SliceStable(c.order, func(a, b int) bool {
		return c.pieces[c.order[a]].Difficulty < c.pieces[c.order[b]].Difficulty
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
	return 1-c.chance[i] <= max(1-mainChance, c.tooEasy(i))
}

// tooEasy is the chance that the group could do with a piece at least two tiers
// harder.
func (c *chooser) tooEasy(i int) float64 {
	return c.managed(c.pieces[i].Difficulty+tooEasyBy, c.pieces[i].SD)
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

// stretch returns the harder piece whose chance is nearest to an even try.
func (c *chooser) stretch(main int) (int, bool) {
	best := -1
	for _, i := range c.order {
		if c.pieces[i].Difficulty <= c.pieces[main].Difficulty || c.inReach(i) {
			continue
		}
		if c.chance[i] >= stretchLeast && (best < 0 || c.offStretch(i) < c.offStretch(best)) {
			best = i
		}
	}
	return best, best >= 0
}

func (c *chooser) offStretch(i int) float64 {
	d := c.chance[i] - stretchChance
	return d * d
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
