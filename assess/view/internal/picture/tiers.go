package picture

import (
	"fmt"
	"strconv"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/view/internal/wording"
)

// Measures of the scale, CSS pixels.
const (
	tierHeight = 26.0
	scaleLeft  = 86.0
	scaleWidth = 150.0
	tiersWidth = scaleLeft + scaleWidth + 110
)

// Tiers shows how likely each tier is: a scale like the draught marks on a hull, the easiest
// tier lowest, with the chance of each beside its mark and the level of the group as a waterline.
func Tiers(g assess.Group) string {
	chances := wording.TierChances(g)
	highest := len(chances) - 1
	lowest := 1
	if chances[0] >= 0.005 || g.Tier != nil && *g.Tier == 0 {
		lowest = 0
	}
	var s svg
	top := 12.0
	y := func(tier float64) float64 { return top + (float64(highest)-tier+0.5)*tierHeight }
	bottom := top + float64(highest-lowest+1)*tierHeight
	var said []string
	for tier := highest; tier >= lowest; tier-- {
		middle := y(float64(tier))
		stated := g.Tier != nil && *g.Tier == tier
		label, weight := "tier "+strconv.Itoa(tier), "400"
		if tier == 0 {
			label = "below 1"
		}
		if stated {
			weight = "700"
			s.add("path", "d", fmt.Sprintf("M%s %s l9 6 l-9 6 z", pixels(6), pixels(middle-6)), "fill", Ink)
		}
		s.text(scaleLeft-12, middle+5, 14, "end", Ink, label, "font-weight", weight)
		s.rect(scaleLeft, middle-8, scaleWidth*chances[tier], 16, "fill", Sea)
		s.text(scaleLeft+scaleWidth*chances[tier]+7, middle+5, 14, "start", Ink,
			words.Chance(chances[tier]), "font-weight", weight)
		said = append(said, fmt.Sprintf("%s %s", label, words.Chance(chances[tier])))
	}
	s.line(scaleLeft, top, scaleLeft, bottom, "stroke", Ink, "stroke-width", 2.0)
	if g.Ability != nil && g.AbilityInterval != nil {
		level := y(clampTo(*g.Ability, float64(lowest)-0.45, float64(highest)+0.45))
		low := y(clampTo(g.AbilityInterval[0], float64(lowest)-0.45, float64(highest)+0.45))
		high := y(clampTo(g.AbilityInterval[1], float64(lowest)-0.45, float64(highest)+0.45))
		x := tiersWidth - 14.0
		s.line(x, high, x, low, "stroke", Rust, "stroke-width", 2.0)
		for _, end := range []float64{high, low} {
			s.line(x-5, end, x+5, end, "stroke", Rust, "stroke-width", 2.0)
		}
		s.add("circle", "cx", x, "cy", level, "r", 4.5, "fill", Rust)
		s.text(x-12, level+5, 14, "end", Rust, fmt.Sprintf("level %.1f", *g.Ability))
	}
	description := "Chances: " + strings.Join(said, ", ") + "."
	if g.Ability != nil {
		description += " " + wording.LevelText(g)
	}
	return s.document(tiersWidth, bottom+8, "How likely each tier is", description)
}

func clampTo(x, low, high float64) float64 { return max(low, min(high, x)) }
