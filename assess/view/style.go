package view

// Style says what the place can show where text goes. The zero Style is plain ASCII without colour,
// 80 columns wide.
type Style struct {
	Width   int  // columns; 0 means 80
	Unicode bool // block characters, dots and dashes may be used
	Colour  bool // bold and faint text by escape sequences; nothing is said by colour alone
}

const (
	defaultWidth = 80
	leastWidth   = 40
)

func (s Style) width() int {
	if s.Width <= 0 {
		return defaultWidth
	}
	return max(s.Width, leastWidth)
}

// Bold sets text off where the style has colour.
func (s Style) Bold(text string) string { return s.escape("1", text) }

func (s Style) faint(text string) string { return s.escape("2", text) }

// Bullet begins an entry of a list.
func (s Style) Bullet() string { return s.or("• ", "- ") }

// escape wraps text in a "select graphic rendition" sequence (ECMA-48).
func (s Style) escape(code, text string) string {
	if !s.Colour || text == "" {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

// or picks by what can be shown.
func (s Style) or(unicode, ascii string) string {
	if s.Unicode {
		return unicode
	}
	return ascii
}

func (s Style) dots() string { return s.or("…", "...") }
