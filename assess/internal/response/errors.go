package response

import (
	"fmt"
	"math"
	"sort"

	"clapladder.example/assess/internal/words"
	"clapladder.example/rhythm"
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
	Split          Kind = "split"            // a part of the room clapped it all half a beat or a beat early or late
	Thin           Kind = "thin"             // few took part
)

// Error is one mistake that many made, as heard. It is about the sound of the group, never about a person.
type Error struct {
	Kind   Kind    // what happened
	Bar    int     // from 1; 0 where the whole answer is meant
	Beat   float64 // from 1 within the bar; 0 where the whole answer is meant
	Text   string  // one line for the leader
	Weight float64 // how much of the group, 0 to 1; errors are listed by it
}

// When something is worth a word.
const (
	manyExtra   = 0.22
	clearlyLess = 0.28 // below the answer's best notes
	spedUp      = 0.03 // tempo change that people notice: two to four per cent
	apart       = 0.06 // seconds: above this two sounds are heard
	early       = 0.12 // seconds before the pulse; people come in early by up to 0.08 as a matter of course
	thin        = 0.35
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

// place says a step as people count it.
func (n *namer) place(step float64) string {
	bar, beat := n.phrase.PositionAt(step)
	if n.phrase.Bars() == 1 {
		return fmt.Sprintf("beat %s", beatText(beat))
	}
	return fmt.Sprintf("bar %d, beat %s", bar, beatText(beat))
}

// about is place where that is a division of the beat which people count, otherwise the beat that is nearest.
func (n *namer) about(step float64) string {
	_, beat := n.phrase.PositionAt(step)
	for _, division := range []float64{1, 2, 3, 4} {
		if part := beat * division; math.Abs(part-math.Round(part)) < 1e-6 {
			return "at " + n.place(step)
		}
	}
	i := n.phrase.BeatAt(int(step))
	start, next := float64(n.phrase.BeatSteps()[i]), float64(n.phrase.BeatSteps()[i+1])
	if step-start <= next-step {
		return "soon after " + n.place(start)
	}
	return "shortly before " + n.place(next)
}

func beatText(beat float64) string {
	if beat == math.Trunc(beat) {
		return fmt.Sprintf("%d", int(beat))
	}
	return fmt.Sprintf("%.3g", beat)
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
			n.add(EarlyEntry, 0, x.Participation, percent+" began before their turn")
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
			n.add(MovedToBeat, float64(note.Stroke.Step), x.Participation, fmt.Sprintf("%s clapped %s on the beat instead", percent, n.place(float64(note.Stroke.Step))))
			return
		case offset == length*0.75 && x.Step-float64(start) == length/2:
			n.moved[k] = true
			n.add(EvenedDotted, float64(note.Stroke.Step), x.Participation, fmt.Sprintf("the short note at %s came too soon, as an even pair", n.place(float64(note.Stroke.Step))))
			return
		}
	}
	if onBeat {
		n.add(FilledRest, x.Step, x.Participation, fmt.Sprintf("%s clapped in the rest at %s", percent, n.place(x.Step)))
		return
	}
	n.add(AddedStroke, x.Step, x.Participation, fmt.Sprintf("%s added a clap %s", percent, n.about(x.Step)))
}

// missing explains notes that clearly fewer people clapped than the best ones.
func (n *namer) missing() {
	for k, note := range n.result.Notes {
		gap := n.best - note.Participation
		if gap < clearlyLess || n.moved[k] || n.best < thin {
			continue
		}
		_, beat := n.phrase.Position(note.Stroke.Step)
		place := n.place(float64(note.Stroke.Step))
		if beat == math.Trunc(beat) {
			n.add(DroppedNote, float64(note.Stroke.Step), gap, fmt.Sprintf("%s is thin: %s", place, words.AboutShare(note.Participation)))
			continue
		}
		n.add(DroppedOffBeat, float64(note.Stroke.Step), gap, fmt.Sprintf("the off-beat at %s went missing: %s", place, words.AboutShare(note.Participation)))
	}
}

// When a single note's time is worth a word: a good deal more than what people forgive (30 to 75 ms).
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
		early := n.result.Start + float64(note.Stroke.Step-n.phrase.Strokes()[0].Step)*stepSeconds - note.Played
		share := early / (float64(next-start) * stepSeconds)
		place := n.place(float64(note.Stroke.Step))
		switch {
		case before == start && 4*(note.Stroke.Step-start) == 3*(next-start) && share >= towardLeast && share <= towardMost:
			n.add(TowardTwoOne, float64(note.Stroke.Step), note.Participation/2, fmt.Sprintf("the short note at %s came early, more two to one than three to one", place))
		case note.Stroke.Step-before > next-start && early > soonAfterRest:
			n.add(ShortRest, float64(note.Stroke.Step), note.Participation/2, fmt.Sprintf("the rest before %s was cut short by %.0f ms", place, 1000*early))
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
		add(Thin, 1-n.best, "few took part")
		return
	}
	if r.Ratio > 1+spedUp {
		add(SpedUp, min(0.5, (r.Ratio-1)*4), fmt.Sprintf("sped up by %.0f %%", 100*(r.Ratio-1)))
	}
	if r.Ratio < 1-spedUp {
		add(SlowedDown, min(0.5, (1-r.Ratio)*4), fmt.Sprintf("slowed down by %.0f %%", 100*(1-r.Ratio)))
	}
	if r.Spread > apart {
		add(Apart, min(0.5, r.Spread*4), fmt.Sprintf("claps %.0f ms apart", 1000*r.Spread))
	}
	if r.Offset < -early {
		add(EarlyEntry, 0.3, fmt.Sprintf("came in %.0f ms early", -1000*r.Offset))
	}
}
