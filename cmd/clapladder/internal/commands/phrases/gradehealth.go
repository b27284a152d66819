package phrases

import (
	"fmt"
	"math"
	"slices"

	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/patterns"
)

// mostAdvice is how many remarks of one kind are worth reading at once.
const mostAdvice = 5

// health says what could be better about a bank.
func sayHealth(con *console.Console, h patterns.Health) {
	list := slices.Concat(advice(h.Holes, holeWords), advice(h.Steps, stepWords),
		advice(h.Twins, twinWords), advice(h.Disagreements, disagreementWords))
	if len(list) == 0 {
		return
	}
	con.Heading("What could be better")
	for _, text := range list {
		con.Para(con.Style.Bullet(), text)
	}
}

func advice[T any](list []T, words func(T) string) []string {
	var out []string
	for i, x := range list {
		if i == mostAdvice {
			out = append(out, fmt.Sprintf("and %d more like that", len(list)-i))
			break
		}
		out = append(out, words(x))
	}
	return out
}

func holeWords(h patterns.Hole) string {
	switch h.Phrases {
	case 0:
		return fmt.Sprintf("no phrase of tier %d", h.Tier)
	case 1:
		return fmt.Sprintf("only one phrase of tier %d", h.Tier)
	}
	return fmt.Sprintf("only %d phrases of tier %d", h.Phrases, h.Tier)
}

func stepWords(s patterns.Step) string {
	return fmt.Sprintf("from %s to %s it is %.1f tiers", s.From, s.To, s.Tiers)
}

func twinWords(t patterns.Twin) string {
	if t.Distance == 0 {
		return fmt.Sprintf("%s and %s are the same rhythm", t.First, t.Second)
	}
	return fmt.Sprintf("%s and %s are nearly the same", t.First, t.Second)
}

func disagreementWords(d patterns.Disagreement) string {
	than := "harder"
	if d.Placed < d.Predicted {
		than = "easier"
	}
	return fmt.Sprintf("you place %s %.1f tiers %s than the prediction of %.1f",
		d.ID, math.Abs(d.Placed-d.Predicted), than, d.Predicted)
}
