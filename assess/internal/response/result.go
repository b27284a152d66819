package response

import (
	"math"

	"clapladder.example/rhythm"
)

// Result is what one answer amounts to. Shares are of the people in the room, 0 to 1.
type Result struct {
	Notes  []Note       // one for each stroke of the phrase, in order
	Extras []ExtraHeard // in order of time; only those worth mentioning
	Errors []Error      // the most telling first

	Start  float64 // seconds: where the first note lies
	End    float64 // seconds: where the last bar ends
	Spread float64 // standard deviation of the claps of one note, seconds
	Offset float64 // mean time of the answer minus the leader's pulse carried on, seconds; early is negative
	Tempo  float64 // beats a minute
	Ratio  float64 // tempo of the answer over the tempo of the call

	Energy   float64 // of a note, over that of the full group: mean of the phrase
	Share    float64 // estimated share of the group that got the whole phrase
	Evidence Share   // the same as evidence: not cut, and with its error
	Score    float64 // how well the answer as heard matches the phrase
	Pulse    float64 // participation on the beats the phrase has
	Pattern  float64 // participation off the beat; NaN where the phrase has nothing there
}

// Note is one stroke of the phrase as it came back.
type Note struct {
	Stroke        rhythm.Stroke // of the phrase
	Expected      float64       // seconds, on the leader's pulse
	Played        float64       // seconds, where the group put it; NaN where next to nobody clapped
	Participation float64       // share of the people in the room, 0 to 1, by energy
}

// ExtraHeard is clapping where the phrase has nothing.
type ExtraHeard struct {
	Step          float64 // on the phrase's grid
	Time          float64 // seconds
	Participation float64 // share of the people in the room, 0 to 1, by energy
}

// What is worth mentioning.
const (
	leastPlayed = 0.08 // of the group, for a note to have a time
	leastExtra  = 0.1
	besideNote  = 0.12 // seconds: so close to a note, a few hands are late or early for it
	leastBeside = 0.15
)

// Result divides by the calibration and names what happened.
func (h Heard) Result(c Calibration) Result {
	strokes := h.Phrase.Strokes()
	r := Result{
		Start: h.Map.At(float64(strokes[0].Step)), End: h.Map.At(float64(h.Phrase.Steps())),
		Spread: c.steadied(h.Spread), Tempo: h.Map.Tempo(h.Phrase),
		Ratio: h.Expected.StepSeconds / h.Map.StepSeconds,
	}
	amounts := h.Amounts(c)
	r.Evidence = amounts.share()
	r.Share = clamp01(r.Evidence.Value)
	for _, x := range amounts.All {
		r.Energy += min(x, mostMean) / float64(len(strokes))
	}
	for i, s := range strokes {
		n := Note{Stroke: s, Expected: h.Expected.At(float64(s.Step)), Played: math.NaN()}
		n.Participation = amounts.participation(i, r.Share)
		if n.Participation >= leastPlayed {
			n.Played = h.Map.At(float64(s.Step))
			if i < len(h.Late) {
				n.Played += h.Late[i]
			}
		}
		r.Offset += (h.Map.At(float64(s.Step)) - n.Expected) / float64(len(strokes))
		r.Notes = append(r.Notes, n)
	}
	for i, x := range h.Extras {
		if p := amounts.extra(i, r.Share); amounts.Extras[i] >= h.leastExtra(x.Step) && p > 0 {
			r.Extras = append(r.Extras, ExtraHeard{Step: x.Step, Time: h.Map.At(x.Step), Participation: p})
		}
	}
	r.Pulse, r.Pattern = h.pulseAndPattern(r.Notes)
	r.Score = score(r)
	if r.Errors = nameErrors(h.Phrase, r); len(r.Errors) == 0 {
		r.Errors = scattered(r)
	}
	return r
}

// leastExtra is how much of the group must clap at a step between the notes for it to be mentioned.
func (h Heard) leastExtra(step float64) float64 {
	for _, s := range h.Phrase.Strokes() {
		if math.Abs(float64(s.Step)-step)*h.Map.StepSeconds < besideNote {
			return leastBeside
		}
	}
	return leastExtra
}

// relative is the energy of each note over that of the full group; 0 where that is not known.
func (h Heard) relative(c Calibration, energies []float64) []float64 {
	strokes := h.Phrase.Strokes()
	out := make([]float64, len(strokes))
	for i, energy := range energies {
		full := c.Full[h.sound(strokes, i)]
		if full <= 0 {
			full = c.Full[rhythm.Clap]
		}
		if full > 0 {
			out[i] = energy / full
		}
	}
	return out
}

// pulseAndPattern averages participation on and off the beat.
func (h Heard) pulseAndPattern(notes []Note) (pulse, pattern float64) {
	on, off := 0.0, 0.0
	var nOn, nOff float64
	for _, n := range notes {
		if h.offBeat(n.Stroke.Step) {
			off, nOff = off+n.Participation, nOff+1
		} else {
			on, nOn = on+n.Participation, nOn+1
		}
	}
	return on / nOn, off / nOff
}

// offBeat reports whether a step of the phrase lies off the beat.
func (h Heard) offBeat(step int) bool {
	bar, beat := h.Phrase.Position(step)
	return bar <= 0 || beat != math.Trunc(beat)
}

func clamp01(x float64) float64 { return max(0, min(1, x)) }

// score is the harmonic mean of how much of the phrase came back and how much of what came back
// belongs to it, the F measure with participation in place of hits.
func score(r Result) float64 {
	hit, stray := 0.0, 0.0
	for _, n := range r.Notes {
		hit += n.Participation
	}
	for _, x := range r.Extras {
		stray += x.Participation
	}
	if hit == 0 {
		return 0
	}
	recall, precision := hit/float64(len(r.Notes)), hit/(hit+stray)
	return 2 * recall * precision / (recall + precision)
}
