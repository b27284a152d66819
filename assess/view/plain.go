package view

import (
	"strings"

	"clapladder.example/assess/view/internal/wording"
)

// ascii writes typographic characters in ASCII. Letters of names stay as they are.
var ascii = strings.NewReplacer(
	"…", "...", "–", "-", "—", "-", "“", `"`, "”", `"`, "‘", "'", "’", "'",
	"·", ",", "•", "-", "±", "+/-", "×", "x", "\u00a0", " ", "→", "->",
)

// Plain is text as the style can show it: without Unicode, quotation marks, dashes and dots become
// ASCII.
func (s Style) Plain(text string) string {
	if s.Unicode {
		return text
	}
	return ascii.Replace(text)
}

// Para breaks text into lines of the style's width. The first begins with head; the others are
// indented to its end.
func (s Style) Para(head, text string) []string {
	lines := wording.Wrap(s.Plain(text), s.width()-wording.Width(head))
	indent := strings.Repeat(" ", wording.Width(head))
	for i := range lines {
		if i == 0 {
			lines[i] = strings.TrimRight(head+lines[i], " ")
		} else {
			lines[i] = indent + lines[i]
		}
	}
	return lines
}
