package rounds

import (
	"math"

	"clapladder.example/rhythm"
)

// Transcription is a rhythm found in bare onset times.
type Transcription struct {
	Phrase rhythm.Phrase  // with tempo
	Map    rhythm.TimeMap // steps of Phrase to the seconds of the onsets
	Cost   float64        // natural-log units; smaller fits better and is simpler
}

// reading is one way to divide a beat.
type reading struct {
	meter    string
	division int     // steps in a beat
	cost     float64 // of choosing it at all
	beat     float64 // quarters in a beat
}

// Transcribe finds metre, tempo and notation for ascending onset times in seconds. distance is the
// time from the first onset to the first of the answer, which is whole bars where the answer
// follows at once, or 0 where unknown. ok is false for fewer than two onsets and for times that no
// reading fits.
func Transcribe(onsets []float64, distance float64) (best Transcription, ok bool) {
	if len(onsets) < 2 {
		return best, false
	}
	best.Cost = math.Inf(1)
	for _, r := range readings {
		for _, beat := range beatLengths(onsets, distance) {
			for offset := range r.division {
				if t, fits := r.fit(onsets, distance, beat, offset); fits && t.Cost < best.Cost-1e-9 {
					best, ok = t, true
				}
			}
		}
	}
	return best, ok
}

// beatLengths proposes lengths of a beat from intervals and from the distance to the answer.
func beatLengths(onsets []float64, distance float64) []float64 {
	var out []float64
	add := func(beat float64) {
		if beat < fastestBeat || beat > slowestBeat {
			return
		}
		for _, other := range out {
			if math.Abs(beat/other-1) < 0.01 {
				return
			}
		}
		out = append(out, beat)
	}
	for beats := 2; beats <= 32; beats++ {
		if distance > 0 {
			add(distance / float64(beats))
		}
	}
	for i := range onsets {
		for k := i + 1; k < len(onsets); k++ {
			span := onsets[k] - onsets[i]
			for quarters := 1; quarters <= 16; quarters++ {
				add(span * 4 / float64(quarters))
				if quarters <= 6 {
					add(span * 3 / float64(quarters))
				}
			}
		}
		if len(out) > 200 {
			break
		}
	}
	return out
}

// fit lays the onsets on the reading's grid with the first at the given step of a beat.
func (r reading) fit(onsets []float64, distance, beat float64, offset int) (Transcription, bool) {
	step := beat / float64(r.division)
	steps := make([]float64, len(onsets))
	for round := range 2 { // lay, fit the line, lay again
		for i, t := range onsets {
			steps[i] = math.Round((t-onsets[0])/step) + float64(offset)
			if i > 0 && steps[i] <= steps[i-1] {
				return Transcription{}, false
			}
		}
		if round == 0 {
			step = rhythm.FitTimeMap(steps, onsets).StepSeconds
			if !(step > 0) {
				return Transcription{}, false
			}
		}
	}
	line := rhythm.FitTimeMap(steps, onsets)
	beat = line.StepSeconds * float64(r.division)
	if beat < fastestBeat || beat > slowestBeat {
		return Transcription{}, false
	}
	off := math.Log(beat/usualBeat) / usualBeatLogSD
	cost := r.cost + off*off/2
	if offset > 0 {
		cost += startOffBeat
	}
	for i, t := range onsets {
		late := (t - line.At(steps[i])) / onsetSD
		cost += late*late/2 + placeCosts[r.division][int(steps[i])%r.division]
	}
	meter := rhythm.MustParseMeter(r.meter)
	bar := meter.Beats() * r.division
	bars := int(steps[len(steps)-1])/bar + 1
	if distance > 0 {
		exact := distance / line.StepSeconds / float64(bar)
		whole := math.Round(exact)
		if int(whole) >= bars && whole > 0 {
			miss := (exact - whole) * float64(meter.Beats()) / 0.12 // beats
			cost += min(miss*miss/2, barMismatch)
			if math.Abs(miss) < 3 {
				bars = int(whole)
			}
		} else {
			cost += barMismatch
		}
	}
	if bars > longestPhrase {
		return Transcription{}, false
	}
	cost += costPerBar * float64(bars)
	return r.write(meter, steps, bars, line, cost)
}

// write makes the phrase. The grid is division steps a beat.
func (r reading) write(meter rhythm.Meter, steps []float64, bars int, line rhythm.TimeMap, cost float64) (Transcription, bool) {
	perQuarter := r.division
	if meter.Kind() == rhythm.Compound {
		perQuarter = 2 // three eighths a beat
	}
	strokes := make([]rhythm.Stroke, len(steps))
	for i, s := range steps {
		strokes[i].Step = int(s)
	}
	tempo := 60 / (line.StepSeconds * float64(r.division))
	if tempo < rhythm.MinTempo || tempo > rhythm.MaxTempo {
		return Transcription{}, false
	}
	p, err := rhythm.New(meter, tempo, bars, perQuarter, strokes)
	if err != nil {
		return Transcription{}, false
	}
	scale := float64(bars*meter.Beats()*r.division) / float64(p.Steps())
	return Transcription{Phrase: p, Map: rhythm.TimeMap{Origin: line.Origin, StepSeconds: line.StepSeconds * scale}, Cost: cost}, true
}
