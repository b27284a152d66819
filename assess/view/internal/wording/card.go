package wording

import (
	"fmt"
	"strings"

	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/plan"
)

// CallName is the name of a call, to be spoken in its rhythm.
func CallName(c plan.CardCall) string {
	if c.Name == "" {
		return "Plain beats"
	}
	return c.Name
}

// CallPace is the tempo of a call, with its metre where that is not the usual one.
func CallPace(c plan.CardCall) string {
	pace := "at " + Number(c.Tempo, 0)
	if meter, _, _ := strings.Cut(c.Meter, "="); meter != "4/4" { // the boxes show the groups
		pace = meter + " " + pace
	}
	return pace
}

// CardTitle says how many calls a card has, and their tempo where all have the same.
func CardTitle(c *plan.Card) string {
	title := fmt.Sprintf("Warm-up card: %d calls", c.Calls())
	if c.Tempo > 0 {
		title += fmt.Sprintf(" at %s beats a minute", Number(c.Tempo, 1))
	}
	return title
}

// endTiers are the first and the last tier that an end stands for.
func endTiers(e plan.CardEnd) (from, to int) {
	if e.To < e.Tier || e.From > e.Tier { // a card from elsewhere
		return e.Tier, e.Tier
	}
	return e.From, e.To
}

// EndTier says the tiers that an end of a card stands for.
func EndTier(e plan.CardEnd) string {
	from, to := endTiers(e)
	switch {
	case to == 0:
		return "below tier 1"
	case from == to:
		return TierName(to)
	case to == len(e.Chances)-1:
		return TierName(from) + " or above"
	case to == from+1:
		return fmt.Sprintf("%s or %d", TierName(from), to)
	}
	return fmt.Sprintf("%s to %d", TierName(from), to)
}

// EndDoubt says how sure the tiers at an end are.
func EndDoubt(e plan.CardEnd) string {
	chance := e.Chance
	if from, to := endTiers(e); to < len(e.Chances) && from < to {
		chance = 0
		for _, c := range e.Chances[from : to+1] {
			chance += c
		}
	}
	switch {
	case e.Low == e.High:
		return words.Chance(chance)
	case e.Low == 0:
		return fmt.Sprintf("%s, at most tier %d", words.Chance(chance), e.High)
	}
	return fmt.Sprintf("%s, tier %d to %d", words.Chance(chance), e.Low, e.High)
}
