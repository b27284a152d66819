package view

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
)

// LevelPoint is the level of a group at one date.
type LevelPoint struct {
	Date      time.Time // of the warm-up
	Level     float64   // tier scale
	Low, High float64   // 90 % interval
}

// TrendSVG writes a picture of a group's level over time: a dot for each date with its 90 % interval, tiers as lines. Points are
// in order of time; width is in CSS pixels. The error is that of w.
func TrendSVG(w io.Writer, title string, points []LevelPoint, width float64) error {
	_, err := io.WriteString(w, trendPicture(title, points, width)+"\n")
	return err
}

// Measures of the picture, CSS pixels.
const (
	trendLeft   = 64.0
	trendBottom = 34.0
	trendTop    = 30.0
	trendTier   = 40.0 // height of one tier
	mostTiers   = 9.0  // height of the picture at most
)

func trendPicture(title string, points []LevelPoint, width float64) string {
	var s svg
	low, high := 1.0, 3.0
	if len(points) > 0 {
		low, high = math.Inf(1), math.Inf(-1)
	}
	for _, p := range points {
		low, high = math.Min(low, math.Floor(p.Low)), math.Max(high, math.Ceil(p.High))
	}
	high = math.Max(high, low+2)
	tier := math.Min(trendTier, mostTiers*trendTier/(high-low))
	height := trendTop + (high-low)*tier + trendBottom
	y := func(level float64) float64 { return trendTop + (high-level)*tier }
	x := trendX(points, width)
	for t := low; t <= high; t++ {
		s.line(trendLeft, y(t), width-edge, y(t), "stroke", rule, "stroke-width", 0.7, "stroke-dasharray", "2 4")
		s.text(trendLeft-8, y(t)+4.5, 13, "end", ink, "level "+strconv.Itoa(int(t)))
	}
	s.text(trendLeft, 16, 14, "start", ink, title, "font-weight", "600")
	var path []string
	var words []string
	labelled := math.Inf(-1)
	for i, p := range points {
		at := x(i)
		s.line(at, y(p.High), at, y(p.Low), "stroke", sea, "stroke-width", 6.0, "stroke-opacity", "0.35", "stroke-linecap", "round")
		path = append(path, pixels(at)+" "+pixels(y(p.Level)))
		day := p.Date.Format("2 Jan 2006")
		words = append(words, fmt.Sprintf("%s level %.1f, between %.1f and %.1f", day, p.Level, p.Low, p.High))
		if at-labelled >= 86 {
			anchor := "middle"
			if at > width-50 {
				anchor = "end"
			}
			s.text(at, height-10, 12, anchor, quiet, day)
			labelled = at
		}
	}
	if len(path) > 1 {
		s.add("polyline", "points", strings.Join(path, ", "), "fill", "none", "stroke", ink, "stroke-width", 1.6)
	}
	for i, p := range points {
		s.add("circle", "cx", x(i), "cy", y(p.Level), "r", 4.5, "fill", ink)
	}
	return s.document(width, height, title, "Level by date: "+strings.Join(words, "; ")+".")
}

// trendX places dates by time.
func trendX(points []LevelPoint, width float64) func(int) float64 {
	left, right := trendLeft+20, width-edge-20
	if len(points) < 2 {
		return func(int) float64 { return (left + right) / 2 }
	}
	begin, span := points[0].Date, points[len(points)-1].Date.Sub(points[0].Date)
	return func(i int) float64 {
		if span <= 0 {
			return left + (right-left)*float64(i)/float64(len(points)-1)
		}
		return left + (right-left)*float64(points[i].Date.Sub(begin))/float64(span)
	}
}
