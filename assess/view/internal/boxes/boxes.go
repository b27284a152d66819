// Package boxes lays out a phrase, or an answer to one, in the boxes of its notation: bars of beats
// of boxes, each with what sounds in it and how much of the group was heard. Texts and pictures are
// made from it.
package boxes

import (
	"math"

	"clapladder.example/assess"
	"clapladder.example/rhythm"
)

// Box is one equal division of a beat, with what was heard in it.
type Box struct {
	Letter byte    // of the notation; '.' where the phrase has nothing
	Note   bool    // the phrase has a stroke here
	Added  bool    // not in the notation: it is there for what was clapped in it
	Heard  bool    // the box has a participation
	Share  float64 // 0 to 1
	Offset float64 // of the clap from its place, seconds; 0 where unknown
}

// Beat is the boxes of one beat, all of one length.
type Beat []Box

// Grid is a phrase in boxes: bars of beats.
type Grid [][]Beat

// OfPhrase lays out a phrase alone.
func OfPhrase(p rhythm.Phrase) Grid {
	perBar := p.Meter().Beats()
	g := make(Grid, p.Bars())
	for i := range p.Beats() {
		var b Beat
		for _, letter := range p.Boxes(i, p.WrittenBoxes(i)) {
			b = append(b, Box{Letter: letter, Note: letter != '.'})
		}
		g[i/perBar] = append(g[i/perBar], b)
	}
	return g
}

// OfRound lays out a round. Beats get more boxes than the phrase needs where an extra clap falls
// between them. It fails where the notation of the round can't be read.
func OfRound(r assess.Round) (Grid, rhythm.Phrase, error) {
	phrase, err := Parse(r.Notation, r.Meter)
	if err != nil {
		return nil, phrase, err
	}
	perBar := phrase.Meter().Beats()
	extras := make(map[int][]assess.Extra)
	for _, x := range r.Extras {
		at := (x.Bar-1)*perBar + int(math.Floor(x.Beat)) - 1
		if x.Bar >= 1 && at >= 0 && at < phrase.Beats() && x.Time > 0 {
			extras[at] = append(extras[at], x)
		}
	}
	g := make(Grid, phrase.Bars())
	for i := range phrase.Beats() {
		written := phrase.WrittenBoxes(i)
		n := division(written, extras[i])
		var b Beat
		for k, letter := range phrase.Boxes(i, n) {
			b = append(b, Box{Letter: letter, Note: letter != '.', Added: k*written%n != 0})
		}
		for _, x := range extras[i] {
			at := min(n-1, int(math.Round(fraction(x.Beat)*float64(n))))
			if b[at].Note { // beside a note rather than on it
				at = min(n-1, at+1)
			}
			if !b[at].Note && x.Participation > b[at].Share {
				b[at].Heard, b[at].Share = true, x.Participation
			}
		}
		g[i/perBar] = append(g[i/perBar], b)
	}
	g.fill(r)
	return g, phrase, nil
}

// fill puts the notes of a round into the boxes with strokes, in order.
func (g Grid) fill(r assess.Round) {
	if r.Response == nil {
		return
	}
	k := 0
	for _, bar := range g {
		for _, b := range bar {
			for i := range b {
				if !b[i].Note || k >= len(r.Notes) {
					continue
				}
				n := r.Notes[k]
				b[i].Heard, b[i].Share = true, n.Participation
				if n.Played != nil {
					b[i].Offset = *n.Played - n.Expected
				}
				k++
			}
		}
	}
}

// division is the smallest multiple of n boxes on which extras fall. Where only finer ones than
// people count would hold them, the nearest box will do: two at least.
func division(n int, extras []assess.Extra) int {
	for m := n; m <= min(max(2*n, finestUsual), rhythm.MaxBoxesPerBeat); m += n {
		fits := true
		for _, x := range extras {
			at := fraction(x.Beat) * float64(m)
			fits = fits && math.Abs(at-math.Round(at)) < 0.1*float64(m)/float64(n)
		}
		if fits {
			return m
		}
	}
	return max(n, 2)
}

// finestUsual is how many boxes a beat is usually counted in at most.
const finestUsual = 4

func fraction(x float64) float64 { return x - math.Floor(x) }

// Parse reads a phrase as reports hold it.
func Parse(notation, meter string) (rhythm.Phrase, error) {
	m, err := rhythm.ParseMeter(meter)
	if err != nil {
		return rhythm.Phrase{}, err
	}
	return rhythm.Parse(notation, m, rhythm.DefaultTempo)
}
