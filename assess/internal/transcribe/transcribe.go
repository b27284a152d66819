package transcribe

import (
	"math"

	"clapladder.example/rhythm"
)

// Transcription is a rhythm found in bare onset times.
type Transcription struct {
	Phrase rhythm.Phrase  // with tempo
	Map    rhythm.TimeMap // steps of Phrase to the seconds of the onsets
	Cost   float64        // natural-log units; smaller fits better and is simpler
	Prior  float64        // the part of Cost that is for being complicated
}

// pulse is a kind of beat: how it may be divided, and which metres count it.
type pulse struct {
	least, usual, most float64 // seconds
	perQuarter         int     // steps of a quarter, where the beat has beatSteps
	offsets            []int   // steps of a beat at which the first onset may lie
	divisions          []division
	metres             []metre
}

// division is a way to divide one beat into equal parts.
type division struct {
	parts  int
	cost   float64   // of a beat divided so
	places []float64 // of a note, by the part it begins
}

// metre is one with the cost of choosing it at all.
type metre struct {
	rhythm.Meter
	bar  float64 // length in beats of the pulse
	cost float64
}

// beatSteps is how many steps of a grid a beat has: all divisions fall on them.
const beatSteps = 12

// grid is onset times laid on the steps of beats.
type grid struct {
	steps  []float64      // of the onsets, beatSteps a beat
	line   rhythm.TimeMap // steps to seconds
	misfit float64        // what it costs that onsets lie off their steps
	prior  float64        // what beat, divisions and places cost
}

// Onsets finds metre, tempo and notation for ascending onset times in seconds. distance is the
// time from the first onset to the first of the answer, which is whole bars where the answer
// follows at once, or 0 where unknown. ok is false for fewer than two onsets and for times that no
// reading fits.
func Onsets(onsets []float64, distance float64) (best Transcription, ok bool) {
	return OnsetsWithin(onsets, distance, math.Inf(1))
}

// OnsetsWithin is [Onsets] where nothing that costs as much as most is of use.
func OnsetsWithin(onsets []float64, distance, most float64) (best Transcription, ok bool) {
	if len(onsets) < 2 {
		return best, false
	}
	var in metre
	var by *pulse
	var on grid
	bars, least := 0, most
	spare := make([]float64, len(onsets))
	for i := range pulses {
		p := &pulses[i]
		for _, beat := range p.beats(onsets, distance) {
			for _, offset := range p.offsets {
				g := grid{steps: spare}
				if !g.lay(p, onsets, beat, offset, least) || g.misfit+g.prior >= least {
					continue
				}
				for _, m := range p.metres {
					n, cost := m.bars(g, distance)
					if cost += g.misfit + g.prior; n > 0 && cost < least-1e-9 {
						least, in, by, bars, on = cost, m, p, n, g
						on.steps = append([]float64(nil), g.steps...)
					}
				}
			}
		}
	}
	if bars == 0 {
		return best, false
	}
	best, ok = by.write(on, in, bars)
	best.Cost, best.Prior = least, least-on.misfit
	return best, ok
}

// beats proposes lengths of a beat from intervals and from the distance to the answer, none twice
// within beatApart.
func (p *pulse) beats(onsets []float64, distance float64) []float64 {
	seen := make([]bool, int((p.most-p.least)/beatApart)+1)
	out := make([]float64, 0, len(seen))
	add := func(beat float64) {
		if beat < p.least || beat > p.most {
			return
		}
		if bin := int((beat - p.least) / beatApart); !seen[bin] {
			seen[bin] = true
			out = append(out, beat)
		}
	}
	for beats := 2; beats <= 32 && distance > 0; beats++ {
		add(distance / float64(beats))
	}
	for i := range onsets {
		for k := i + 1; k < len(onsets); k++ {
			span := onsets[k] - onsets[i]
			for _, d := range p.divisions {
				first := max(1, int(span*float64(d.parts)/p.most))
				for parts := first; parts <= 4*d.parts; parts++ {
					beat := span * float64(d.parts) / float64(parts)
					if beat < p.least {
						break
					}
					add(beat)
				}
			}
		}
	}
	return out
}

// lay puts the onsets on the steps of beats, the first at the given step, each beat divided in the
// way that costs least, and fits the line through them. It is false where two onsets share a step,
// and where it can be seen early that all will cost more than most.
func (g *grid) lay(p *pulse, onsets []float64, beat float64, offset int, most float64) bool {
	off := math.Log(beat/p.usual) / usualBeatLogSD
	tempo := off * off / 2
	if offset > 0 {
		tempo += startOffBeat
	}
	line := rhythm.TimeMap{StepSeconds: beat / beatSteps}
	line.Origin = onsets[0] - float64(offset)*line.StepSeconds
	for range 2 { // lay, fit the line, lay again
		g.misfit, g.prior = 0, tempo
		for from := 0; from < len(onsets); {
			from = g.layBeat(p, onsets, from, line)
			if g.prior+leastPlace*float64(len(onsets)-from)+misfitLeft*g.misfit > most {
				return false
			}
		}
		for i := range g.steps {
			if i > 0 && g.steps[i] <= g.steps[i-1] {
				return false
			}
		}
		line = rhythm.FitTimeMap(g.steps, onsets)
		if !(line.StepSeconds > 0) {
			return false
		}
	}
	g.line = line
	beat = line.StepSeconds * beatSteps
	if !(beat >= p.least && beat <= p.most) {
		return false
	}
	g.misfit = 0
	for i, t := range onsets {
		late := (t - line.At(g.steps[i])) / onsetSD
		g.misfit += late * late / 2
	}
	return true
}

// layBeat lays the onsets of one beat, from the given one on, and returns the first of the next.
func (g *grid) layBeat(p *pulse, onsets []float64, from int, line rhythm.TimeMap) int {
	step := (onsets[from] - line.Origin) / line.StepSeconds
	start := math.Floor((step+snap)/beatSteps) * beatSteps
	to := from + 1
	for to < len(onsets) && (onsets[to]-line.Origin)/line.StepSeconds+snap < start+beatSteps {
		to++
	}
	least := math.Inf(1)
	var best division
	for _, d := range p.divisions {
		part := beatSteps / float64(d.parts)
		cost := d.cost
		for _, t := range onsets[from:to] {
			in := (t-line.Origin)/line.StepSeconds - start
			n := min(int(in/part+0.5), d.parts-1)
			late := (in - float64(n)*part) * line.StepSeconds / onsetSD
			cost += late*late/2 + d.places[n]
		}
		if cost < least {
			least, best = cost, d
		}
	}
	part := beatSteps / float64(best.parts)
	g.prior += best.cost
	g.misfit += least - best.cost
	for i := from; i < to; i++ {
		in := (onsets[i]-line.Origin)/line.StepSeconds - start
		n := min(int(in/part+0.5), best.parts-1)
		g.steps[i] = start + float64(n)*part
		g.prior += best.places[n]
		g.misfit -= best.places[n]
	}
	return to
}

// leastPlace is what every place of a beat costs at least.
const leastPlace = 0.2

// misfitLeft is the share of a misfit that fitting the line may leave.
const misfitLeft = 0.25

// snap is by how many steps an onset may come before a beat and still lie on it.
const snap = 1.0

// bars is how many bars the onsets fill in this metre, and what that costs; 0 where too many.
func (m metre) bars(g grid, distance float64) (bars int, cost float64) {
	cost = m.cost
	bar := m.bar * beatSteps
	bars = int(g.steps[len(g.steps)-1]/bar) + 1
	if distance > 0 {
		exact := distance / g.line.StepSeconds / bar
		whole := math.Round(exact)
		if int(whole) >= bars && whole > 0 {
			miss := (exact - whole) * m.bar / barSD
			cost += min(miss*miss/2, barMismatch)
			if math.Abs(miss) < 3 {
				bars = int(whole)
			}
		} else {
			cost += barMismatch
		}
	}
	if bars > longestPhrase {
		return 0, cost
	}
	return bars, cost + costPerBar*float64(bars)
}

// write makes the phrase.
func (p *pulse) write(g grid, m metre, bars int) (Transcription, bool) {
	strokes := make([]rhythm.Stroke, len(g.steps))
	for i, s := range g.steps {
		strokes[i].Step = int(s)
	}
	tempo := 60 / (g.line.StepSeconds * beatSteps)
	if tempo < rhythm.MinTempo || tempo > rhythm.MaxTempo {
		return Transcription{}, false
	}
	phrase, err := rhythm.New(m.Meter, tempo, bars, p.perQuarter, strokes)
	if err != nil {
		return Transcription{}, false
	}
	scale := float64(bars) * m.bar * beatSteps / float64(phrase.Steps())
	to := rhythm.TimeMap{Origin: g.line.Origin, StepSeconds: g.line.StepSeconds * scale}
	return Transcription{Phrase: phrase, Map: to}, true
}
