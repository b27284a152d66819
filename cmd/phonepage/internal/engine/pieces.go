package engine

import (
	"cmp"
	"fmt"
	"slices"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

type gradedPhrase = patterns.Graded

// asked is what to choose pieces for.
type asked struct {
	Tier    int      `json:"tier"` // 0: as the last report says
	With    []string `json:"with"`
	Without []string `json:"without"`
}

// piece is something to play, with its chance.
type piece struct {
	ID     string   `json:"id"`
	Name   string   `json:"name"`
	Role   string   `json:"role,omitempty"`
	Tier   string   `json:"tier"`
	Chance string   `json:"chance"`
	Part   float64  `json:"share"` // the chance as a number, for a bar
	Why    string   `json:"why,omitempty"`
	Tags   []string `json:"tags"`
	Shape  phrase   `json:"phrase"`
	Lost   string   `json:"lost,omitempty"`
}

var roleWords = map[plan.Role]string{
	plan.Safe: "Safe start", plan.Main: "Open with",
	plan.Stretch: "Reach for", plan.Split: "For a mixed room",
}

// pieces lists openers, and all pieces at hand with their chances.
func (e *Engine) pieces(a asked) (any, error) {
	belief, about, err := e.belief(a.Tier)
	if err != nil {
		return nil, err
	}
	graded := patterns.GradeRepertoire(e.model, e.repertoire)
	filter := plan.Filter{With: a.With, Without: a.Without}
	chosen, err := plan.Choose(plan.Request{
		Pieces: graded, Belief: belief,
		Comfort: ability.DefaultComfort, Model: e.model, Filter: filter,
	})
	if err != nil {
		return nil, err
	}
	openers := []piece{}
	for _, c := range chosen.List() {
		word, ok := roleWords[c.Role]
		if !ok {
			continue
		}
		p := piece{
			ID: c.Piece, Name: c.Name, Role: word, Tier: tierName(c.Tier),
			Chance: view.Chance(c.Chance), Part: c.Chance, Why: view.Sentence(c.Why),
			Tags: c.Tags, Shape: newPhrase(c.Piece, c.Name, c.Difficulty, c.Phrase),
		}
		if f, ok := chosen.Fallback(c.Role); ok {
			p.Lost = fmt.Sprintf("%s (%s), %s", cmp.Or(f.Part, f.Name), lower(tierName(f.Tier)),
				view.Chance(f.Chance))
		}
		openers = append(openers, p)
	}
	all := []piece{}
	for _, g := range graded {
		if keeps(g.Tags, a) {
			all = append(all, e.atHand(g, belief))
		}
	}
	slices.SortStableFunc(all, func(x, y piece) int { return cmp.Compare(y.Part, x.Part) })
	comfort := fmt.Sprintf("The per cent are the chance that at least %.0f %% of the group "+
		"manage it.", 100*ability.DefaultComfort)
	return map[string]any{"about": about, "openers": openers, "all": all, "comfort": comfort}, nil
}

// atHand is a piece with its chance and its easiest support part to fall back to.
func (e *Engine) atHand(g patterns.GradedPiece, belief *ability.Posterior) piece {
	chance := belief.ChanceManaged(g.Difficulty, g.SD, ability.DefaultComfort)
	p := piece{
		ID: g.ID, Name: g.Name, Tier: tierName(g.Tier), Chance: view.Chance(chance), Part: chance,
		Tags:  g.Tags,
		Shape: newPhrase(g.ID, g.Name, g.Difficulty, corePhrase(g)),
	}
	if s, ok := g.Easiest(bank.Support); ok {
		p.Lost = fmt.Sprintf("%s (%s), %s", s.Name, lower(tierName(s.Tier)),
			view.Chance(belief.ChanceManaged(s.Difficulty, s.SD, ability.DefaultComfort)))
	}
	if p.Tags == nil {
		p.Tags = []string{}
	}
	return p
}

// names lists the repertoire, in its order.
func (e *Engine) names(struct{}) (any, error) {
	type named struct {
		ID   string `json:"id"`
		Name string `json:"name"`
	}
	list := []named{}
	for _, p := range e.repertoire.Pieces {
		list = append(list, named{p.ID, p.Name})
	}
	return list, nil
}

func corePhrase(g patterns.GradedPiece) rhythm.Phrase { return g.Piece.Core().Phrase }

// keeps is the filter of package plan for a single piece.
func keeps(tags []string, a asked) bool {
	has := func(tag string) bool {
		return slices.ContainsFunc(tags, func(t string) bool { return same(t, tag) })
	}
	return !slices.ContainsFunc(a.With, func(t string) bool { return !has(t) }) &&
		!slices.ContainsFunc(a.Without, has)
}

func same(a, b string) bool { return lower(a) == lower(b) }

// spreadSigma is how sure the spread of a report is taken to be: the standard deviation of its
// logarithm.
const spreadSigma = 0.25

// belief is what is believed of the group: as told, or by the last report.
func (e *Engine) belief(tier int) (*ability.Posterior, string, error) {
	if tier > 0 {
		b, err := plan.AtTier(tier, ability.DefaultComfort)
		return b, fmt.Sprintf("For a group that is at home in tier %d.", tier), err
	}
	if e.report == nil || e.report.Group.Ability == nil {
		return nil, "", &Problem{"no level is known of this group yet", "choose a tier, or listen first"}
	}
	g := e.report.Group
	prior := ability.Prior{Level: *g.Ability, LevelSD: *g.AbilitySD, SpreadSigma: spreadSigma}
	if g.AbilitySpread != nil {
		prior.SpreadMedian = *g.AbilitySpread
	}
	b, err := ability.NewPosterior(prior)
	return b, "For the group of the last warm-up: " + lower(tierName(*g.Tier)) + ".", err
}
