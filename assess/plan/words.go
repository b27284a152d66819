package plan

import (
	"fmt"
	"math"

	"clapladder.example/assess/internal/words"
)

// roughly writes a share of the group that is only expected, to the nearest tenth and never all or
// nobody: "about 7 in 10 people", "about half".
func roughly(share float64) string {
	tenths := min(max(math.Round(share*10), 1), 9)
	if tenths == 5 {
		return "about half"
	}
	return "about " + people(tenths/10)
}

// people writes a share of the group as people say it: "7 in 10".
func people(share float64) string {
	if tenths := math.Round(share * 10); math.Abs(share*10-tenths) < 1e-9 {
		return fmt.Sprintf("%.0f in 10 people", tenths)
	}
	return fmt.Sprintf("%.0f in 100 people", math.Round(share*100))
}

var numbers = [...]string{
	"less than a tier", "one tier", "two tiers", "three tiers", "four tiers",
	"five tiers", "six tiers",
}

// tiers writes a distance on the tier scale.
func tiers(distance float64) string {
	n := int(math.Round(math.Abs(distance)))
	if n < len(numbers) {
		return numbers[n]
	}
	return fmt.Sprintf("%d tiers", n)
}

func (c *chooser) whyMain(i int) string {
	sure := words.Chance(c.chance[i])
	switch {
	case !c.inReach(i):
		return fmt.Sprintf("the likeliest of your pieces, but a risk: only %s sure that %s "+
			"manage it; keep its fallback ready", sure, people(c.Comfort))
	case c.Tier != 0:
		return fmt.Sprintf("the hardest of your pieces up to tier %d", c.Tier)
	}
	return fmt.Sprintf("the hardest of your pieces that %s should manage, %s sure", people(c.Comfort), sure)
}

// whySafe calls sure only what is; otherwise it is the surest there is, with its chance.
func whySafe(easier, chance float64) string {
	start := "a sure start"
	if chance < safeChance {
		start = "the surest you have, " + words.Chance(chance) + " sure"
	}
	return start + ", " + tiers(easier) + " easier than the main choice"
}

func whyStretch(harder, chance float64) string {
	return fmt.Sprintf("a step up, %s harder, once the main choice sits; %s sure", tiers(harder),
		words.Chance(chance))
}

func whyEasierPart(name string, easier float64) string {
	return fmt.Sprintf("its part %q over the same pulse, %s easier", name, tiers(easier))
}

func whyVariant(how string, easier float64) string {
	return fmt.Sprintf("%s, %s easier", how, tiers(easier))
}

func whySupport(chance float64) string {
	return fmt.Sprintf("for everyone who wants a steady job, %s sure; let people choose their part",
		words.Chance(chance))
}

func whyLead(harder float64) string {
	return fmt.Sprintf("for everyone who wants more, %s harder; swap parts after a while", tiers(harder))
}
