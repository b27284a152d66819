package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Point is the level of a group at one date.
type Point struct {
	Date      time.Time // of the warm-up
	Level     float64   // tier scale
	Low, High float64   // 90 % interval
}

// Measures of the picture, CSS pixels.
const (
	trendLeft   = 64.0
	trendBottom = 34.0
	trendTop    = 30.0
	trendTier   = 40.0 // height of one tier
	mostTiers   = 9.0  // height of the picture at most
)

// Trend is a group's level over time: points in order of time, those of one day side by side.
func Trend(title string, points []Point, width float64) string {
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
	days := trendDays(points, width)
	for t := low; t <= high; t++ {
		s.line(trendLeft, y(t), width-edge, y(t), "stroke", rule, "stroke-width", 0.7,
			"stroke-dasharray", "2 4")
		s.text(trendLeft-8, y(t)+4.5, 13, "end", Ink, "level "+strconv.Itoa(int(t)))
	}
	s.text(trendLeft, 16, 14, "start", Ink, title, "font-weight", "600")
	var path []string
	var words []string
	labelled := math.Inf(-1)
	for _, d := range days {
		day := d.points[0].Date.Format("2 Jan 2006")
		mean := 0.0
		for i, p := range d.points {
			at := d.place(i)
			s.line(at, y(p.High), at, y(p.Low), "stroke", Sea, "stroke-width", 6.0,
				"stroke-opacity", "0.35", "stroke-linecap", "round")
			words = append(words, fmt.Sprintf("%s level %.1f, between %.1f and %.1f", day, p.Level,
				p.Low, p.High))
			mean += p.Level / float64(len(d.points))
		}
		path = append(path, pixels(d.at)+" "+pixels(y(mean)))
		// every day has its mark
		s.line(d.at, height-trendBottom, d.at, height-trendBottom+5, "stroke", quiet, "stroke-width", 1.0)
		if d.at-labelled >= 86 {
			anchor := "middle"
			if d.at > width-50 {
				anchor = "end"
			}
			s.text(d.at, height-10, 12, anchor, quiet, day)
			labelled = d.at
		}
	}
	if len(path) > 1 {
		s.add("polyline", "points", strings.Join(path, ", "), "fill", "none", "stroke", Ink,
			"stroke-width", 1.6)
	}
	for _, d := range days {
		for i, p := range d.points {
			s.add("circle", "cx", d.place(i), "cy", y(p.Level), "r", 4.5, "fill", Ink)
		}
	}
	return s.document(width, height, title, "Level by date: "+strings.Join(words, "; ")+".")
}

// trendDay is the points of one day.
type trendDay struct {
	at     float64 // CSS pixels
	points []Point
}

const beside = 12.0 // CSS pixels between points of one day

// place is where a point of the day stands.
func (d trendDay) place(i int) float64 { return d.at + beside*(float64(i)-float64(len(d.points)-1)/2) }

// trendDays places days by time.
func trendDays(points []Point, width float64) []trendDay {
	var days []trendDay
	for _, p := range points {
		if n := len(days); n > 0 &&
			days[n-1].points[0].Date.Format(time.DateOnly) == p.Date.Format(time.DateOnly) {
			days[n-1].points = append(days[n-1].points, p)
			continue
		}
		days = append(days, trendDay{points: []Point{p}})
	}
	left, right := trendLeft+20, width-edge-20
	for i := range days {
		days[i].at = (left + right) / 2
		if begin, span := days[0].points[0].Date,
			days[len(days)-1].points[0].Date.Sub(days[0].points[0].Date); span > 0 {
			days[i].at = left + (right-left)*float64(days[i].points[0].Date.Sub(begin))/float64(span)
		}
	}
	return days
}
