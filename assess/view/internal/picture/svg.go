// Package picture draws what a report says, as SVG: boxes of a phrase and of its answer, the
// chances of the tiers, the level from round to round and from date to date, the recording as a
// strip, and the warm-up card. The same values give the same bytes. Widths are CSS pixels.
package picture

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// Colours of pictures and pages, each at least 4.5 to 1 against paper and white where it carries
// text (WCAG 2.2, 1.4.3) and 3 to 1 where it carries shape. They differ in lightness too, and
// nothing is said by colour alone.
const (
	Ink   = "#1b2a33" // text and outlines
	Sea   = "#0d5c6b" // what the group clapped
	Rust  = "#8f3616" // clapping where the phrase has nothing
	quiet = "#5c666c" // what matters less
	rule  = "#8b8577" // thin lines
	Paper = "#fbf8f1"
	shade = "#ece5d6" // behind what belongs together
)

// svg collects the elements of one picture. Lengths are CSS pixels; every number is written with at
// most two decimals, so that the same picture has the same bytes on every computer.
type svg struct{ b strings.Builder }

// pixels writes a length.
func pixels(x float64) string {
	text := strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

// add writes an element with attributes given as name, value, name, value …; numbers are lengths.
func (s *svg) add(name string, attributes ...any) {
	s.b.WriteString("<" + name)
	s.attributes(attributes)
	s.b.WriteString("/>")
}

func (s *svg) attributes(attributes []any) {
	for i := 0; i+1 < len(attributes); i += 2 {
		value := ""
		switch x := attributes[i+1].(type) {
		case float64:
			value = pixels(x)
		default:
			value = fmt.Sprint(x)
		}
		s.b.WriteString(fmt.Sprintf(` %s="%s"`, attributes[i], html.EscapeString(value)))
	}
}

func (s *svg) rect(x, y, w, h float64, attributes ...any) {
	s.add("rect", append([]any{"x", x, "y", y, "width", w, "height", h}, attributes...)...)
}

func (s *svg) line(x1, y1, x2, y2 float64, attributes ...any) {
	s.add("line", append([]any{"x1", x1, "y1", y1, "x2", x2, "y2", y2}, attributes...)...)
}

// text writes a word; anchor is start, middle or end.
func (s *svg) text(x, y, size float64, anchor, fill, words string, attributes ...any) {
	s.b.WriteString("<text")
	s.attributes(append([]any{
		"x", x, "y", y, "font-size", size, "text-anchor", anchor, "fill",
		fill,
	}, attributes...))
	s.b.WriteString(">" + html.EscapeString(words) + "</text>")
}

// document wraps the elements into a picture of a size, with a name and a description for people
// who do not see it.
func (s *svg) document(width, height float64, name, description string) string {
	var d svg
	d.b.WriteString(`<svg`)
	d.attributes([]any{
		"xmlns", "http://www.w3.org/2000/svg", "viewBox",
		"0 0 " + pixels(width) + " " + pixels(height), "width", width, "height", height,
		"role", "img", "aria-label", strings.TrimSpace(name + ". " + description), "font-family",
		"system-ui, sans-serif",
	})
	d.b.WriteString("><title>" + html.EscapeString(name) + "</title>")
	if description != "" {
		d.b.WriteString("<desc>" + html.EscapeString(description) + "</desc>")
	}
	d.b.WriteString(s.b.String())
	d.b.WriteString("</svg>")
	return d.b.String()
}
