// Package flagcheck says what flags that several commands have may be: each rule and its sentence once.
// The errors are wrong command lines; nil is all right.
package flagcheck

import (
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/rhythm"
)

// Count is how many of some things are given.
func Count(given ...bool) int {
	n := 0
	for _, is := range given {
		if is {
			n++
		}
	}
	return n
}

// Tempo is beats a minute; 0 is none.
func Tempo(bpm float64) error {
	if bpm == 0 || bpm >= rhythm.MinTempo && bpm <= rhythm.MaxTempo {
		return nil
	}
	return fault.Usage("--tempo is %g; write a number from %g to %g", bpm, rhythm.MinTempo, rhythm.MaxTempo)
}

// Comfort is a share of the group.
func Comfort(share float64) error {
	if settings.IsComfort(share) {
		return nil
	}
	return fault.Usage("--comfort is %g; write a share from %g to %g", share, settings.LeastComfort,
		settings.MostComfort)
}

// Page is what belongs to a page: its title, and that it is to be shown, for which it must be a file.
func Page(html, title string, open bool) error {
	if (title != "" || open) && (html == "" || open && html == naming.Standard) {
		return fault.Usage("--title and --open are about the page; add --html FILE")
	}
	return nil
}

// OneOutput is what may go to standard output: JSON, a picture or a page.
func OneOutput(json bool, svg, html string) error {
	if Count(json, svg == naming.Standard, html == naming.Standard) > 1 {
		return fault.Usage("only one of --json, --svg - and --html - can write to standard output")
	}
	return nil
}
