package response

import (
	"math"
	"slices"
	"sort"

	"clapladder.example/rhythm"
)

// A stream of single taps is not a heap of claps: each tap is a stroke. It is laid on the phrase by
// one straight time map (tempo and offset), then taps and notes are matched one to one within a
// window, and what is left over on either side is wrong.
//
// Windows: experts' grades of 112 imitation takes agree best with matching within 60 to 100 ms, or
// 0.30 to 0.45 of the shortest interval, after such a map (re-analysis of hand-checked onsets
// published with Köktürk-Güzel, Büyük, Bozkurt & Baysal 2023, Digital Signal Processing
// 133:103880); 30 ms is too strict.
const (
	tapWindow     = 0.1  // seconds
	tapShare      = 0.45 // of the shortest interval
	slowestAnswer = 0.75 // tempo of the answer over that of the call
	fastestAnswer = 1.33
	anchorsMost   = 24 // notes or taps from which anchors are taken; work grows with the fourth power
)

// windows as shares of the full one, over which wrong strokes are averaged: a stroke just outside a
// strict window is not as wrong as one that is nowhere.
var windows = []float64{0.6, 0.8, 1, 1.25}

// TapMatch is how a stream of taps fits the notes of a phrase.
type TapMatch struct {
	Offset, Ratio float64 // tap time = Offset + Ratio * note time; seconds
	Tap           []int   // for each note the tap that is it, -1 for none
	Stray         []int   // taps that are no note, ascending
	Wrong         int     // strokes missing, moved or extra: the larger count less the matched
	RMS           float64 // of matched taps around their notes, seconds
	Score         float64 // 0 to 1; see [MatchTaps]
}

// MatchTaps matches taps to notes (both ascending, seconds; notes at least two). Score is 1 for a
// perfect answer and falls by a third for each wrong stroke, so that 1, 2/3, 1/3 and 0 are the four
// grades of the written rubric (none wrong; one; two; three and more); between the grades it moves
// with how exact the strokes are.
func MatchTaps(notes, taps []float64) TapMatch {
	window := min(tapWindow, tapShare*shortest(notes))
	best := TapMatch{Ratio: 1, Tap: none(len(notes)), Wrong: max(len(notes), len(taps))}
	if len(taps) > 0 {
		best.Offset = taps[0] - notes[0]
	}
	if len(taps) >= 2 {
		best = bestMap(notes, taps, window)
	}
	best.finish(notes, taps, window)
	return best
}

// shortest is the smallest interval between notes, seconds.
func shortest(notes []float64) float64 {
	least := math.Inf(1)
	for i := 1; i < len(notes); i++ {
		least = min(least, notes[i]-notes[i-1])
	}
	return least
}

func none(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = -1
	}
	return out
}

// bestMap tries the line through every pair of a note with a tap and keeps the one with the fewest
// wrong strokes over all windows, then the smallest error.
func bestMap(notes, taps []float64, window float64) TapMatch {
	bestWrong, bestError := math.Inf(1), math.Inf(1)
	var best TapMatch
	consider := func(offset, ratio float64) {
		wrong, squares := 0.0, 0.0
		for _, share := range windows {
			matched, sum := pair(nil, notes, taps, offset, ratio, window*share)
			wrong += float64(max(len(notes), len(taps))-matched) / float64(len(windows))
			squares = sum
		}
		if wrong < bestWrong-1e-9 || wrong < bestWrong+1e-9 && squares < bestError {
			bestWrong, bestError = wrong, squares
			best = TapMatch{Offset: offset, Ratio: ratio}
		}
	}
	n, m := min(len(notes), anchorsMost), min(len(taps), anchorsMost)
	for i := range n {
		for j := i + 1; j < n; j++ {
			for k := range m {
				for l := k + 1; l < m; l++ {
					ratio := (taps[l] - taps[k]) / (notes[j] - notes[i])
					if ratio >= 1/fastestAnswer && ratio <= 1/slowestAnswer {
						consider(taps[k]-ratio*notes[i], ratio)
					}
				}
			}
		}
	}
	if best.Ratio == 0 {
		return TapMatch{Offset: taps[0] - notes[0], Ratio: 1}
	}
	for range 2 { // settle on the matched taps
		tap := none(len(notes))
		pair(tap, notes, taps, best.Offset, best.Ratio, window)
		var xs, ys []float64
		for i, k := range tap {
			if k >= 0 {
				xs, ys = append(xs, notes[i]), append(ys, taps[k])
			}
		}
		if len(xs) >= 3 {
			m := rhythm.FitTimeMap(xs, ys)
			if m.StepSeconds >= 1/fastestAnswer && m.StepSeconds <= 1/slowestAnswer {
				consider(m.Origin, m.StepSeconds)
			}
		}
	}
	return best
}

// pair walks both lists once and matches them one to one. tap, where it is not nil, is told the tap
// of each note that has one.
func pair(tap []int, notes, taps []float64, offset, ratio, window float64) (matched int, squares float64) {
	k := 0
	for i, note := range notes {
		at := offset + ratio*note
		for k < len(taps) && taps[k] < at-window {
			k++
		}
		if k == len(taps) {
			break
		}
		if late := taps[k] - at; late <= window {
			if k+1 < len(taps) && math.Abs(taps[k+1]-at) < math.Abs(late) {
				k++
				late = taps[k] - at
			}
			if tap != nil {
				tap[i] = k
			}
			matched++
			squares += late * late
			k++
		}
	}
	return matched, squares
}

// assign is pair with what each note got, -1 for nothing, and the taps that no note got, ascending.
func assign(notes, taps []float64, offset, ratio, window float64) (own, stray []int, matched int,
	squares float64,
) {
	own = none(len(notes))
	matched, squares = pair(own, notes, taps, offset, ratio, window)
	for k := range taps {
		if !slices.Contains(own, k) {
			stray = append(stray, k)
		}
	}
	return own, stray, matched, squares
}

const (
	inexactCosts = 0.5     // of a wrong stroke, for an RMS error as wide as the window
	linearTo     = 2.5     // wrong strokes up to which a third each is taken off
	tailRate     = 0.5     // beyond that the score falls off exponentially
	tailStart    = 1.0 / 6 // 1 - linearTo/3
)

func (t *TapMatch) finish(notes, taps []float64, window float64) {
	var matched int
	var squares float64
	t.Tap, t.Stray, matched, squares = assign(notes, taps, t.Offset, t.Ratio, window)
	t.Wrong = max(len(notes), len(taps)) - matched
	if matched > 0 {
		t.RMS = math.Sqrt(squares / float64(matched))
	}
	wrong := 0.0
	for _, share := range windows {
		hits, _ := pair(nil, notes, taps, t.Offset, t.Ratio, window*share)
		wrong += float64(max(len(notes), len(taps))-hits) / float64(len(windows))
	}
	wrong += inexactCosts * min(1, t.RMS/window)
	if matched == 0 {
		return
	}
	if wrong <= linearTo {
		t.Score = 1 - wrong/3
		return
	}
	t.Score = tailStart * math.Exp(-tailRate*(wrong-linearTo))
}

// tapShares is the share of the rubric's passes by wrong strokes: none and one pass, two rarely,
// three never. Our choice.
var tapShares = []float64{1, 0.75, 0.25}

// TapResult turns a match into the form of an answer. expected is the leader's pulse carried into
// the answer, taps and notes are as given to [MatchTaps], notes in seconds from step 0 of the
// call's map.
func TapResult(p rhythm.Phrase, expected rhythm.TimeMap, taps []float64, match TapMatch) Result {
	m := rhythm.TimeMap{Origin: match.Offset, StepSeconds: expected.StepSeconds * match.Ratio}
	r := Result{
		Start: m.At(float64(p.Strokes()[0].Step)), End: m.At(float64(p.Steps())),
		Tempo: m.Tempo(p), Ratio: 1 / match.Ratio, Score: match.Score, Spread: match.RMS,
	}
	late, hits := 0.0, 0.0
	for i, s := range p.Strokes() {
		n := Note{Stroke: s, Expected: expected.At(float64(s.Step)), Played: math.NaN()}
		if k := match.Tap[i]; k >= 0 {
			n.Played, n.Participation = taps[k], 1
			late, hits = late+taps[k]-n.Expected, hits+1
		}
		r.Notes = append(r.Notes, n)
	}
	if hits > 0 {
		r.Offset = late / hits
	}
	places := slots(p, m.StepSeconds)
	for _, k := range match.Stray {
		step := m.StepOf(taps[k])
		i := sort.Search(len(places), func(i int) bool { return places[i].step >= step })
		nearest := step
		for _, j := range []int{i - 1, i} {
			if j >= 0 && j < len(places) && places[j].note < 0 &&
				math.Abs(places[j].step-step)*m.StepSeconds < closest {
				nearest = places[j].step
			}
		}
		r.Extras = append(r.Extras, ExtraHeard{Step: nearest, Time: taps[k], Participation: 1})
	}
	h := Heard{Answer: Answer{Phrase: p}}
	r.Pulse, r.Pattern = h.pulseAndPattern(r.Notes)
	if match.Wrong < len(tapShares) {
		r.Share = tapShares[match.Wrong]
	}
	r.Errors = nameErrors(p, r)
	return r
}
