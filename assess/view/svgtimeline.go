package view

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"clapladder.example/assess"
)

// TimelineSVG writes a strip of the whole recording, as many CSS pixels wide as given: above the line the strokes of the calls,
// below it the answers, each note as long as the share of the group that was heard. Rounds are numbered. The error is that of
// w.
func TimelineSVG(w io.Writer, r *assess.Report, width float64) error {
	_, err := io.WriteString(w, timelinePicture(r, width)+"\n")
	return err
}

// Measures of the strip, CSS pixels.
const (
	callHeight   = 16.0
	answerHeight = 30.0
	stripMiddle  = 40.0
	stripHeight  = 92.0
)

func timelinePicture(r *assess.Report, width float64) string {
	var s svg
	end := r.Recording.Duration
	for _, round := range r.Rounds {
		end = math.Max(end, round.Call.End)
		if round.Response != nil {
			end = math.Max(end, round.Response.End)
		}
	}
	if end <= 0 {
		end = 1
	}
	x := func(seconds float64) float64 { return edge + (width-2*edge)*clampTo(seconds/end, 0, 1) }
	for i, round := range r.Rounds {
		until := round.Call.End
		if round.Response != nil {
			until = round.Response.End
		}
		left := x(round.Call.Start)
		s.rect(left-2, 18, x(until)-left+4, stripHeight-38, "fill", "#ece5d6", "rx", corner)
		s.text(left, 13, 12, "start", ink, strconv.Itoa(i+1))
		for _, at := range round.Call.Onsets {
			s.line(x(at), stripMiddle-callHeight, x(at), stripMiddle-1, "stroke", ink, "stroke-width", 1.4)
		}
		if round.Response == nil {
			continue
		}
		for _, n := range round.Notes {
			at := n.Expected
			if n.Played != nil {
				at = *n.Played
			}
			s.line(x(at), stripMiddle+1, x(at), stripMiddle+1+answerHeight*clampTo(n.Participation, 0.03, 1), "stroke", sea, "stroke-width", 2.2)
		}
		for _, e := range round.Extras {
			s.line(x(e.Time), stripMiddle+1, x(e.Time), stripMiddle+1+answerHeight*clampTo(e.Participation, 0.03, 1), "stroke", rust, "stroke-width", 2.2, "stroke-dasharray", "3 2")
		}
	}
	s.line(edge, stripMiddle, width-edge, stripMiddle, "stroke", rule, "stroke-width", 1.0)
	for at, step := 0.0, timeStep(end, width); at <= end; at += step {
		s.line(x(at), stripHeight-18, x(at), stripHeight-14, "stroke", quiet, "stroke-width", 1.0)
		anchor := "middle"
		if at == 0 {
			anchor = "start"
		} else if x(at) > width-20 {
			anchor = "end"
		}
		s.text(x(at), stripHeight-3, 11, anchor, quiet, clock(at))
	}
	return s.document(width, stripHeight, "The recording from start to end",
		fmt.Sprintf("%s in %s minutes. Calls are drawn above the line, answers below it; each round is described below.", count(len(r.Rounds), "round"), clock(end)))
}

// timeStep is the time between two labels, so that they stay readable.
func timeStep(end, width float64) float64 {
	for _, step := range []float64{5, 10, 15, 30, 60, 120, 300, 600, 1800} {
		if end/step*48 <= width {
			return step
		}
	}
	return 3600
}
