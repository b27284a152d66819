package view

import (
	"io"
	"time"

	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/picture"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// PhraseSVG writes a picture of a phrase: one box for each equal division of a beat, as wide as it
// lasts; filled where something sounds, with a letter for stamps, pats and snaps and a bar above
// accents. width is the most columns of CSS pixels it may take; bars that do not fit go on below.
// The error is that of w.
func PhraseSVG(w io.Writer, p rhythm.Phrase, width float64) error {
	_, err := io.WriteString(w, picture.Phrase(p, width)+"\n")
	return err
}

// CardSVG writes a warm-up card as a picture in the shape of an A4 page on its long side, black on
// white. The error is that of w.
func CardSVG(w io.Writer, c *plan.Card, system spoken.System) error {
	_, err := io.WriteString(w, picture.Card(c, system, wording.CardTitle(c))+"\n")
	return err
}

// LevelPoint is the level of a group at one date.
type LevelPoint struct {
	Date      time.Time // of the warm-up
	Level     float64   // tier scale
	Low, High float64   // 90 % interval
}

// TrendSVG writes a picture of a group's level over time: a dot for each date with its 90 %
// interval, tiers as lines. Points are in order of time, those of one day stand side by side and
// the line goes through their middle; width is in CSS pixels. The error is that of w.
func TrendSVG(w io.Writer, title string, points []LevelPoint, width float64) error {
	_, err := io.WriteString(w, picture.Trend(title, placed(points), width)+"\n")
	return err
}

// placed are the points as the picture takes them.
func placed(points []LevelPoint) []picture.Point {
	out := make([]picture.Point, len(points))
	for i, p := range points {
		out[i] = picture.Point(p)
	}
	return out
}
