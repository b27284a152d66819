package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/view/internal/wording"
)

// Measures of the strip, CSS pixels.
const (
	stripHead    = 20.0 // for numbers and tempo
	SoundHeight  = 52.0
	pulseHeight  = 12.0
	callHeight   = 16.0
	answerHeight = 30.0
	clockHeight  = 22.0
	soundColumn  = 1.5 // pixels for each line of the outline
	leastPulse   = 4.0 // pixels between two beats that can be told apart
)

// strip is a timeline while it is drawn.
type strip struct {
	svg
	width, end float64 // pixels, seconds
	sound      float64 // height of the outline; 0: there is none
}

// Timeline is a strip of the whole recording, as many CSS pixels wide as given. From above:
// the number of each round with its tempo; the sound in outline, where there was any, with a bar
// above it as long as the call and two thin lines below it as long as the answer; a dot for each
// beat; and around a line the strokes of the call above, those of the answer below, as long as the
// share of the group that was heard.
func Timeline(r *assess.Report, width float64) string {
	s := strip{width: width, end: r.Recording.Duration}
	for _, round := range r.Rounds {
		s.end = math.Max(s.end, round.Call.End)
		if round.Response != nil {
			s.end = math.Max(s.end, round.Response.End)
		}
	}
	if s.end <= 0 {
		s.end = 1
	}
	if r.Recording.Envelope != nil {
		s.sound = SoundHeight
	}
	for i, round := range r.Rounds {
		s.back(round)
		next := width
		if i+1 < len(r.Rounds) {
			next = s.x(r.Rounds[i+1].Call.Start)
		}
		s.head(i+1, round, next-s.x(round.Call.Start))
	}
	if e := r.Recording.Envelope; e != nil {
		s.outline(e)
	}
	for _, round := range r.Rounds {
		s.round(round)
	}
	s.line(edge, s.middle(), width-edge, s.middle(), "stroke", rule, "stroke-width", 1.0)
	height := s.middle() + answerHeight + clockHeight
	s.clock(height)
	return s.document(width, height, "The recording from start to end",
		fmt.Sprintf("%s in %s minutes. Calls are drawn above the line, answers below it; each "+
			"round is described below.", words.Count(len(r.Rounds), "round"), wording.Clock(s.end)))
}

func (s *strip) x(seconds float64) float64 {
	return edge + (s.width-2*edge)*clampTo(seconds/s.end, 0, 1)
}

// middle is the line between calls and answers.
func (s *strip) middle() float64 { return stripHead + s.sound + pulseHeight + callHeight }

// back marks where a round is.
func (s *strip) back(r assess.Round) {
	until := r.Call.End
	if r.Response != nil {
		until = r.Response.End
	}
	left := s.x(r.Call.Start)
	s.rect(left-2, stripHead-2, s.x(until)-left+4, s.middle()+answerHeight+6-stripHead, "fill",
		shade, "rx", corner)
}

// head writes number and tempo, as far as there is room before the next round.
func (s *strip) head(number int, r assess.Round, room float64) {
	left := s.x(r.Call.Start)
	tempo := ""
	if r.Call.Tempo > 0 {
		tempo = fmt.Sprintf("%.0f", r.Call.Tempo)
		if r.Response != nil && math.Abs(r.Response.Tempo/r.Call.Tempo-1) >= 0.03 {
			tempo += fmt.Sprintf("→%.0f", r.Response.Tempo)
		}
	}
	label := strconv.Itoa(number)
	if room < 8*float64(len(label))+2 {
		return
	}
	s.text(left, 14, 13, "start", Ink, label, "font-weight", "700")
	after := 8*float64(len(label)) + 7
	if room > after+7*float64(len([]rune(tempo)))+4 && tempo != "" {
		s.text(left+after, 14, 11, "start", quiet, tempo)
	}
}

// outline draws how the power of the sound runs, from what is quiet in this recording to its
// loudest.
func (s *strip) outline(e *assess.Envelope) {
	columns := int((s.width - 2*edge) / soundColumn)
	largest := make([]float64, columns)
	for i := range largest {
		largest[i] = math.Inf(-1)
	}
	for i, db := range e.Power {
		from := int(float64(columns) * float64(i) * e.Step / s.end)
		until := int(float64(columns) * float64(i+1) * e.Step / s.end)
		for c := from; c < min(max(until, from+1), columns); c++ {
			largest[c] = math.Max(largest[c], float64(db))
		}
	}
	quietest := soundFloor(e.Power)
	half := SoundHeight/2 - 5
	var path strings.Builder
	for c, db := range largest {
		h := half * clampTo((db-quietest)/-quietest, 0.02, 1)
		fmt.Fprintf(&path, "M%s %sv%s", pixels(edge+soundColumn*(float64(c)+0.5)),
			pixels(stripHead+SoundHeight/2-h), pixels(2*h))
	}
	s.add("path", "d", path.String(), "stroke", quiet, "stroke-width", 1.0)
}

// soundFloor is the power that is drawn as nothing, dB below the loudest: that of the quietest
// tenth, but within 30 to 50.
func soundFloor(power []int) float64 {
	var counts [61]int
	for _, db := range power {
		counts[min(max(-db, 0), 60)]++
	}
	louder := 0
	for below, n := range counts {
		louder += n
		if 10*louder >= 9*len(power) {
			return -clampTo(float64(below), 30, 50)
		}
	}
	return -50
}

// round draws spans, beats and strokes.
func (s *strip) round(r assess.Round) {
	middle, dots := s.middle(), stripHead+s.sound+pulseHeight/2-1
	if s.sound > 0 {
		s.line(s.x(r.Call.Start), stripHead+1, s.x(r.Call.End), stripHead+1, "stroke", Ink,
			"stroke-width", 3.0)
	}
	s.pulse(r.Call.Start, r.Call.End, r.Call.Tempo, dots, Ink)
	for _, at := range r.Call.Onsets {
		s.line(s.x(at), middle-callHeight, s.x(at), middle-1, "stroke", Ink, "stroke-width", 1.4)
	}
	if r.Response == nil {
		return
	}
	if s.sound > 0 {
		for _, y := range []float64{stripHead + s.sound - 3, stripHead + s.sound - 0.5} {
			s.line(s.x(r.Response.Start), y, s.x(r.Response.End), y, "stroke", Sea, "stroke-width", 1.0)
		}
	}
	s.pulse(r.Response.Start, r.Response.End, r.Response.Tempo, dots, Sea)
	for _, n := range r.Notes {
		at := n.Expected
		if n.Played != nil {
			at = *n.Played
		}
		s.line(s.x(at), middle+1, s.x(at), middle+1+answerHeight*clampTo(n.Participation, 0.03, 1),
			"stroke", Sea, "stroke-width", 2.2)
	}
	for _, e := range r.Extras {
		s.line(s.x(e.Time), middle+1, s.x(e.Time),
			middle+1+answerHeight*clampTo(e.Participation, 0.03, 1), "stroke", Rust, "stroke-width",
			2.2, "stroke-dasharray", "3 2")
	}
}

// pulse draws a dot for each beat, counted back from the end of the last bar, where they can be
// told apart.
func (s *strip) pulse(start, end, tempo, y float64, colour string) {
	if tempo <= 0 || end-start > s.end {
		return
	}
	beat := 60 / tempo
	if s.x(end)-s.x(end-beat) < leastPulse {
		return
	}
	for at := end - beat; at > start-beat/2; at -= beat {
		s.add("circle", "cx", s.x(at), "cy", y, "r", 1.4, "fill", colour)
	}
}

// clock draws the scale of time.
func (s *strip) clock(height float64) {
	for at, step := 0.0, timeStep(s.end, s.width); at <= s.end; at += step {
		s.line(s.x(at), height-17, s.x(at), height-14, "stroke", quiet, "stroke-width", 1.0)
		anchor := "middle"
		if at == 0 {
			anchor = "start"
		} else if s.x(at) > s.width-20 {
			anchor = "end"
		}
		s.text(s.x(at), height-3, 11, anchor, quiet, wording.Clock(at))
	}
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
