package difficulty

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"

	"clapladder.example/patterns/internal/features"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// wording puts causes into words for one phrase.
type wording struct{ p rhythm.Phrase }

// place is what happens at one place.
func (w wording) place(c features.Cause) string {
	switch c.Kind {
	case features.HeldOver:
		return fmt.Sprintf("the %s %s is held over %s", w.sound(c.From), w.on(c.From), w.spot(c.To-1))
	case features.OffBeatStroke:
		return fmt.Sprintf("the %s %s", w.sound(c.From), w.on(c.From))
	case features.SilentStart:
		return fmt.Sprintf("nothing on %s, the next stroke is %s", w.spot(c.From), w.on(c.To-1))
	case features.SilentBeat:
		return spoken.Beat(w.p, float64(c.From)) + " is silent"
	case features.SilentTail:
		return "silence from " + w.spot(c.From) + " to the end"
	case features.UnevenInterval:
		return "gaps of " + w.ratio(c) + " around " + w.middle(c)
	case features.PairDivision, features.TripletDivision, features.FineDivision:
		boxes := w.p.BoxesPerBeat(w.p.BeatAt(c.From))
		return fmt.Sprintf("%s is divided by %d", spoken.Beat(w.p, float64(c.From)), boxes)
	case features.QuickStrokes:
		gap := w.p.Seconds(c.To-1) - w.p.Seconds(c.From)
		return fmt.Sprintf("strokes only %.2f s apart from %s", gap, w.spot(c.From))
	case features.ChangedSound:
		return fmt.Sprintf("%s to %s at %s", w.sound(c.From), w.sound(c.To-1), w.spot(c.To-1))
	case features.OffBeatAccent:
		return "an accent " + w.on(c.From)
	}
	return ""
}

// reason sums a feature up. At most three places are named.
func (w wording) reason(main features.CauseKind, kinds [features.CauseKinds]float64,
	places []Place,
) string {
	switch main {
	case features.LongPhrase:
		return w.length(kinds[features.LongPhrase])
	case features.ChangingGaps:
		return w.changes()
	case features.MixedDivision, features.CompoundMetre, features.OddMetre, features.AdditiveMetre:
		text := w.metre(main)
		if len(places) > 0 {
			text += "; " + places[0].Text
		}
		return text
	case features.SlowBeat:
		return fmt.Sprintf("a slow beat, %.0f a minute", w.p.Tempo())
	case features.FastBeat:
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
	if main != features.MixedDivision && kinds[features.MixedDivision] > 0 {
		text += "; " + w.metre(features.MixedDivision)
	}
	return text
}

func (w wording) metre(kind features.CauseKind) string {
	switch kind {
	case features.MixedDivision:
		return "some beats divide by two, some by three"
	case features.CompoundMetre:
		return "beats that divide by three"
	case features.OddMetre:
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
func (w wording) ratio(c features.Cause) string {
	at := w.middleStep(c)
	lowest := big.NewRat(int64(at-c.From), int64(c.To-at))
	return fmt.Sprintf("%s to %s", lowest.Num(), lowest.Denom())
}

func (w wording) middleStep(c features.Cause) int {
	for _, s := range w.p.Strokes() {
		if s.Step > c.From {
			return s.Step
		}
	}
	return c.From
}

func (w wording) middle(c features.Cause) string { return w.spot(w.middleStep(c)) }

// on is spot with its preposition: "on beat 2", "on the “and” of 2".
func (w wording) on(step int) string { return spoken.On(w.p, float64(step)) }

// spot names a place as people count it: "beat 2", "the “and” of 2", in a phrase of several bars
// with the bar.
func (w wording) spot(step int) string { return spoken.Place(w.p, float64(step)) }
