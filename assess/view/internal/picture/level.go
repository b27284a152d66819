package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"clapladder.example/assess"
)

// Measures of the picture, CSS pixels.
const (
	levelLeft   = 58.0
	levelTop    = 8.0
	levelBottom = 24.0
	levelHeight = 190.0 // for all tiers shown
	mostStep    = 32.0  // from round to round
)

// Level shows how the estimate settled: the level of the group after every round with its 90 %
// band, a ring for rounds that do not count, and a short bar where each phrase lies on the same
// scale. width is in CSS pixels.
func Level(rounds []assess.Round, width float64) string {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range rounds {
		if r.Level != nil && r.LevelInterval != nil {
			low, high = math.Min(low, r.LevelInterval[0]), math.Max(high, r.LevelInterval[1])
		}
	}
	if math.IsInf(low, 1) {
		low, high = 0, 1
	}
	low, high = math.Floor(low), math.Max(math.Ceil(high), math.Floor(low)+2)
	step := math.Min(mostStep, (width-levelLeft-24)/math.Max(1, float64(len(rounds))))
	width = levelLeft + step*float64(len(rounds)) + 24
	x := func(i int) float64 { return levelLeft + step*(float64(i)+0.5) }
	y := func(level float64) float64 {
		return levelTop +
			levelHeight*(high-clampTo(level, low, high))/(high-low)
	}
	var s svg
	for t, apart := low, math.Ceil((high-low)/10); t <= high; t += apart {
		s.line(levelLeft, y(t), width-8, y(t), "stroke", rule, "stroke-width", 0.7, "stroke-dasharray", "2 4")
		s.text(levelLeft-8, y(t)+4.5, 13, "end", Ink, "level "+strconv.Itoa(int(t)))
	}
	var upper, lower, middle []string
	for i, r := range rounds {
		if r.Level == nil || r.LevelInterval == nil {
			continue
		}
		upper = append(upper, pixels(x(i))+" "+pixels(y(r.LevelInterval[1])))
		lower = append([]string{pixels(x(i)) + " " + pixels(y(r.LevelInterval[0]))}, lower...)
		middle = append(middle, pixels(x(i))+" "+pixels(y(*r.Level)))
	}
	if len(middle) > 0 {
		s.add("polygon", "points", strings.Join(append(upper, lower...), ", "), "fill", Sea,
			"fill-opacity", "0.2", "stroke", Sea, "stroke-width", 1.0)
		s.add("polyline", "points", strings.Join(middle, ", "), "fill", "none", "stroke", Ink,
			"stroke-width", 1.6)
	}
	labelled := math.Inf(-1)
	for i, r := range rounds {
		if r.Difficulty >= low && r.Difficulty <= high {
			s.line(x(i)-math.Min(8, step/3), y(r.Difficulty), x(i)+math.Min(8, step/3),
				y(r.Difficulty), "stroke", Rust, "stroke-width", 2.5)
		}
		if x(i)-labelled >= 18 {
			s.text(x(i), levelTop+levelHeight+18, 13, "middle", Ink, strconv.Itoa(i+1))
			labelled = x(i)
		}
		if r.Level == nil {
			continue
		}
		fill := Ink
		if !r.Usable {
			fill = "#ffffff"
		}
		s.add("circle", "cx", x(i), "cy", y(*r.Level), "r", 4.0, "fill", fill, "stroke", Ink,
			"stroke-width", 1.6)
	}
	return s.document(width, levelTop+levelHeight+levelBottom, "The level after every round",
		levelWords(rounds))
}

// levelWords says the picture in a sentence; the page has the table beside it.
func levelWords(rounds []assess.Round) string {
	first, last := -1, -1
	for i, r := range rounds {
		if r.Level != nil && r.LevelInterval != nil {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return "Nothing is known yet."
	}
	after := func(i int) string {
		return fmt.Sprintf("%.1f after round %d (90 %%: %.1f to %.1f)", *rounds[i].Level, i+1,
			rounds[i].LevelInterval[0], rounds[i].LevelInterval[1])
	}
	if first == last {
		return after(first) + "."
	}
	return "From " + after(first) + " to " + after(last) + "."
}
