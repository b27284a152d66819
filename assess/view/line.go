package view

import (
	"strings"

	"clapladder.example/assess"
)

// Line is a report in one line: the tier and how sure, and what to open with; where no tier is
// stated, what is missing.
func Line(r *assess.Report) string {
	h := headlineOf(r)
	text := h.TierLabel + " " + h.Tier
	if h.Stated {
		text += "; " + strings.ToLower(h.OpenLabel[:1]) + h.OpenLabel[1:] + " " +
			strings.TrimSpace(h.Open+" "+h.OpenMore)
	}
	return strings.Join(strings.Fields(text), " ")
}
