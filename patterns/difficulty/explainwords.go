package difficulty

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// wording puts causes into words for one phrase.
type wording struct{ p rhythm.Phrase }

// place is what happens at one place.
func (w wording) place(c cause) string {
	switch c.kind {
	case heldOver:
		return fmt.Sprintf("the %s %s is held over %s", w.sound(c.from), w.on(c.from), w.spot(c.to-1))
	case offBeatStroke:
		return fmt.Sprintf("the %s %s", w.sound(c.from), w.on(c.from))
	case silentStart:
		return fmt.Sprintf("nothing on %s, the next stroke is %s", w.spot(c.from), w.on(c.to-1))
	case silentBeat:
		return spoken.Beat(w.p, float64(c.from)) + " is silent"
	case silentTail:
		return "silence from " + w.spot(c.from) + " to the end"
	case unevenInterval:
		return "gaps of " + w.ratio(c) + " around " + w.middle(c)
	case pairDivision, tripletDivision, fineDivision:
		boxes := w.p.BoxesPerBeat(w.p.BeatAt(c.from))
		return fmt.Sprintf("%s is divided by %d", spoken.Beat(w.p, float64(c.from)), boxes)
	case quickStrokes:
		gap := w.p.Seconds(c.to-1) - w.p.Seconds(c.from)
		return fmt.Sprintf("strokes only %.2f s apart from %s", gap, w.spot(c.from))
	case changedSound:
		return fmt.Sprintf("%s to %s at %s", w.sound(c.from), w.sound(c.to-1), w.spot(c.to-1))
	case offBeatAccent:
		return "an accent " + w.on(c.from)
	}
	return ""
}

// reason sums a feature up. At most three places are named.
func (w wording) reason(main causeKind, kinds [causeKinds]float64, places []Place) string {
	switch main {
	case longPhrase:
		return w.length(kinds[longPhrase])
	case changingGaps:
		return w.changes()
	case mixedDivision, compoundMetre, oddMetre, additiveMetre:
		text := w.metre(main)
		if len(places) > 0 {
			text += "; " + places[0].Text
		}
		return text
	case slowBeat:
		return fmt.Sprintf("a slow beat, %.0f a minute", w.p.Tempo())
	case fastBeat:
		return fmt.Sprintf("a fast beat, %.0f a minute", w.p.Tempo())
	}
	const named = 3
	var texts []string
	for _, place := range places[:min(named, len(places))] {
		texts = append(texts, place.Text)
	}
	text := strings.Join(texts, "; ")
	if more := len(places) - named; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	if main != mixedDivision && kinds[mixedDivision] > 0 {
		text += "; " + w.metre(mixedDivision)
	}
	return text
}

func (w wording) metre(kind causeKind) string {
	switch kind {
	case mixedDivision:
		return "some beats divide by two, some by three"
	case compoundMetre:
		return "beats that divide by three"
	case oddMetre:
		return fmt.Sprintf("%d beats in a bar", w.p.Meter().Beats())
	}
	return "beats of unequal length, " + w.p.Meter().String()
}

func (w wording) length(beats float64) string {
	if beats == 1 {
		return "one beat from the first stroke to the last"
	}
	tenths := math.Round(10*beats) / 10
	return strconv.FormatFloat(tenths, 'f', -1, 64) + " beats from the first stroke to the last"
}

// changes says how often the gap between strokes changes.
func (w wording) changes() string {
	kinds, changes := map[int]bool{}, 0
	strokes := w.p.Strokes()
	for k := 1; k < len(strokes); k++ {
		gap := strokes[k].Step - strokes[k-1].Step
		kinds[gap] = true
		if k > 1 && gap != strokes[k-1].Step-strokes[k-2].Step {
			changes++
		}
	}
	return fmt.Sprintf("%d lengths of gap between strokes, changing %s", len(kinds), times(changes))
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// sound is the stroke at step.
func (w wording) sound(step int) string {
	for _, s := range w.p.Strokes() {
		if s.Step == step {
			return s.Sound.String()
		}
	}
	return "stroke"
}

// ratio is the ratio of the two intervals of a cause, in lowest terms.
func (w wording) ratio(c cause) string {
	at := w.middleStep(c)
	a, b := at-c.from, c.to-at
	common := gcd(a, b)
	return fmt.Sprintf("%d to %d", a/common, b/common)
}

func (w wording) middleStep(c cause) int {
	for _, s := range w.p.Strokes() {
		if s.Step > c.from {
			return s.Step
		}
	}
	return c.from
}

func (w wording) middle(c cause) string { return w.spot(w.middleStep(c)) }

// on is spot with its preposition: "on beat 2", "on the “and” of 2".
func (w wording) on(step int) string { return spoken.On(w.p, float64(step)) }

// spot names a place as people count it: "beat 2", "the “and” of 2", in a phrase of several bars
// with the bar.
func (w wording) spot(step int) string { return spoken.Place(w.p, float64(step)) }
