package response

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"clapladder.example/assess/internal/words"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// Kind names a usual mistake in the words of the trade.
type Kind string

// The mistakes.
const (
	FilledRest     Kind = "filled-rest"      // clapped where the phrase is silent on a beat
	DroppedOffBeat Kind = "dropped-off-beat" // a note between the beats is missing
	DroppedNote    Kind = "dropped-note"     // a note on the beat is missing
	MovedToBeat    Kind = "moved-to-beat"    // a note before or after the beat was clapped on it
	EvenedDotted   Kind = "evened-dotted"    // long-short came out as equal halves
	ShortRest      Kind = "short-rest"       // came back too soon after a silent beat
	TowardTwoOne   Kind = "toward-two-one"   // a dotted pair, three to one, came out as two to one
	EarlyEntry     Kind = "early-entry"      // began before its turn
	ExtraTail      Kind = "extra-tail-clap"  // one clap too many at the end
	AddedStroke    Kind = "added-stroke"     // clapped between the notes
	SpedUp         Kind = "sped-up"          // faster than the call
	SlowedDown     Kind = "slowed-down"      // slower than the call
	Apart          Kind = "apart"            // hands too far apart to sound as one
	// a part of the room clapped it all half a beat or a beat early or late
	Split     Kind = "split"
	Thin      Kind = "thin"      // few took part
	Scattered Kind = "scattered" // fewer got it than clapped any note, and no mistake stands out
)

// Error is one mistake that many made, as heard. It is about the sound of the group, never about a
// person.
type Error struct {
	Kind   Kind    // what happened
	Bar    int     // from 1; 0 where the whole answer is meant
	Beat   float64 // from 1 within the bar; 0 where the whole answer is meant
	Text   string  // one line for the leader
	Weight float64 // how much of the group, 0 to 1; errors are listed by it
}

// When something is worth a word.
const (
	manyExtra   = 0.16
	clearlyLess = 0.20 // below the answer's best notes
	spedUp      = 0.03 // tempo change that people notice: two to four per cent
	apart       = 0.06 // seconds: above this two sounds are heard
	early       = 0.12 // seconds before the pulse; people come in early by up to 0.08 as a matter of course
	thin        = 0.35
	unexplained = 0.2 // of the group, from the share that got it to the weakest note
)

// nameErrors finds the usual mistakes in an answer, most telling first.
func nameErrors(p rhythm.Phrase, r Result) []Error {
	n := namer{phrase: p, result: r}
	for _, x := range r.Notes {
		n.best = max(n.best, x.Participation)
	}
	n.extras()
	n.missing()
	n.timing()
	n.whole()
	sort.SliceStable(n.found, func(i, j int) bool { return n.found[i].Weight > n.found[j].Weight })
	return n.found
}

type namer struct {
	phrase rhythm.Phrase
	result Result
	best   float64
	found  []Error
	moved  map[int]bool // notes explained by an extra
}

func (n *namer) add(kind Kind, step float64, weight float64, text string) {
	bar, beat := n.phrase.PositionAt(step)
	if step >= float64(n.phrase.Steps()) {
		bar, beat = n.phrase.Bars()+1, 1
	}
	n.found = append(n.found, Error{Kind: kind, Bar: bar, Beat: beat, Weight: weight, Text: text})
}

// extras explains clapping where the phrase has nothing.
func (n *namer) extras() {
	n.moved = map[int]bool{}
	strokes := n.phrase.Strokes()
	first, last := float64(strokes[0].Step), float64(strokes[len(strokes)-1].Step)
	explained := n.split()
	for i, x := range n.result.Extras {
		if x.Participation < manyExtra || explained[i] {
			continue
		}
		percent := words.AboutShare(x.Participation)
		switch {
		case x.Step < first && x.Step < 0:
			n.add(EarlyEntry, 0, x.Participation, percent+" came in before their turn")
		case x.Step > last:
			n.add(ExtraTail, x.Step, x.Participation, percent+" clapped once more after the end")
		default:
			n.between(x, percent)
		}
	}
}

// between explains an extra inside the phrase.
func (n *namer) between(x ExtraHeard, percent string) {
	beat := n.phrase.BeatAt(int(x.Step))
	start, next := n.phrase.BeatSteps()[beat], n.phrase.BeatSteps()[beat+1]
	length := float64(next - start)
	onBeat := x.Step == float64(start)
	for k, note := range n.result.Notes {
		distance := math.Abs(float64(note.Stroke.Step) - x.Step)
		if distance > length*0.51 || note.Participation > n.best-clearlyLess || n.moved[k] {
			continue
		}
		offset := float64(note.Stroke.Step - start)
		switch {
		case onBeat:
			n.moved[k] = true
			n.add(MovedToBeat, float64(note.Stroke.Step), x.Participation,
				fmt.Sprintf("%s clapped on %s instead of %s", percent,
					n.beside(x.Step, note.Stroke.Step), n.place(float64(note.Stroke.Step))))
			return
		case offset == length*0.75 && x.Step-float64(start) == length/2:
			n.moved[k] = true
			n.add(EvenedDotted, float64(note.Stroke.Step), x.Participation,
				fmt.Sprintf("%s clapped %s too soon: long-short came out even", percent,
					n.place(float64(note.Stroke.Step))))
			return
		}
	}
	if onBeat {
		n.add(FilledRest, x.Step, x.Participation,
			fmt.Sprintf("%s clapped in the rest on %s", percent, n.place(x.Step)))
		return
	}
	n.add(AddedStroke, x.Step, x.Participation,
		fmt.Sprintf("%s added a clap %s", percent, spoken.On(n.phrase, x.Step)))
}

// scattered says why fewer got the phrase than clapped any one note of it, where no mistake does.
func scattered(r Result) []Error {
	least := 1.0
	for _, n := range r.Notes {
		least = min(least, n.Participation)
	}
	if least-r.Share < unexplained {
		return nil
	}
	return []Error{{
		Kind: Scattered, Weight: least - r.Share,
		Text: "no one mistake stands out: different people may have missed different notes",
	}}
}

// missing explains notes that clearly fewer people clapped than the best ones.
func (n *namer) missing() {
	for k, note := range n.result.Notes {
		gap := n.best - note.Participation
		if gap < clearlyLess || n.moved[k] || n.best < thin {
			continue
		}
		kind := DroppedOffBeat
		if _, beat := n.phrase.Position(note.Stroke.Step); beat == math.Trunc(beat) {
			kind = DroppedNote
		}
		n.add(kind, float64(note.Stroke.Step), gap,
			few(note.Participation)+" clapped "+n.place(float64(note.Stroke.Step)))
	}
}

// few says a share that is smaller than it should be.
func few(share float64) string {
	if text := words.AboutShare(share); strings.HasPrefix(text, "about") {
		return "only " + text
	}
	return words.AboutShare(share)
}

// When a single note's time is worth a word: a good deal more than what people forgive (30 to 75
// ms).
const (
	soonAfterRest = 0.075 // seconds
	towardLeast   = 0.05  // of a beat; two to one is a twelfth of a beat early
	towardMost    = 0.14
)

// timing explains notes that came at another time than the answer's own pulse puts them.
func (n *namer) timing() {
	for k, note := range n.result.Notes {
		if math.IsNaN(note.Played) || k == 0 || note.Participation < thin {
			continue
		}
		before := n.result.Notes[k-1].Stroke.Step
		beat := n.phrase.BeatAt(note.Stroke.Step)
		start, next := n.phrase.BeatSteps()[beat], n.phrase.BeatSteps()[beat+1]
		stepSeconds := (n.result.End - n.result.Start) / float64(n.phrase.Steps()-n.phrase.Strokes()[0].Step)
		early := n.result.Start + float64(note.Stroke.Step-n.phrase.Strokes()[0].Step)*stepSeconds -
			note.Played
		share := early / (float64(next-start) * stepSeconds)
		place := n.place(float64(note.Stroke.Step))
		switch {
		case before == start && 4*(note.Stroke.Step-start) == 3*(next-start) &&
			share >= towardLeast && share <= towardMost:
			n.add(TowardTwoOne, float64(note.Stroke.Step), note.Participation/2,
				place+" came early: more like swing, two to one, than dotted, three to one")
		case note.Stroke.Step-before > next-start && early > soonAfterRest:
			n.add(ShortRest, float64(note.Stroke.Step), note.Participation/2,
				fmt.Sprintf("the rest before %s was cut short by %s", place, distance(early, share)))
		}
	}
}

// whole explains what concerns the whole answer.
func (n *namer) whole() {
	r := n.result
	add := func(kind Kind, weight float64, text string) {
		n.found = append(n.found, Error{Kind: kind, Weight: weight, Text: text})
	}
	if n.best < thin {
		add(Thin, 1-n.best, "few joined in")
		return
	}
	if r.Ratio > 1+spedUp {
		add(SpedUp, min(0.5, (r.Ratio-1)*4), fmt.Sprintf("answered %.0f %% faster than the call",
			100*(r.Ratio-1)))
	}
	if r.Ratio < 1-spedUp {
		add(SlowedDown, min(0.5, (1-r.Ratio)*4),
			fmt.Sprintf("answered %.0f %% slower than the call", 100*(1-r.Ratio)))
	}
	if r.Spread > apart {
		add(Apart, min(0.5, r.Spread*4), "claps too far apart to sound as one")
	}
	if r.Offset < -early {
		add(EarlyEntry, 0.3, fmt.Sprintf("came in %s early", distance(-r.Offset, -r.Offset/n.beatSeconds())))
	}
}

// beatSeconds is the mean length of a beat of the answer.
func (n *namer) beatSeconds() float64 {
	steps := n.phrase.Steps() - n.phrase.Strokes()[0].Step
	return (n.result.End - n.result.Start) / float64(steps) *
		float64(n.phrase.Steps()) / float64(n.phrase.Beats())
}

// beside is a place without its bar where another place of that bar is named after it.
func (n *namer) beside(step float64, other int) string {
	bar, beat := n.phrase.PositionAt(step)
	if same, _ := n.phrase.Position(other); same == bar {
		return spoken.PlaceInBar(n.phrase.Meter(), beat)
	}
	return n.place(step)
}

func (n *namer) place(step float64) string { return spoken.Place(n.phrase, step) }
