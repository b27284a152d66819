package pulse

import (
	"math"
	"slices"
	"sort"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/assess/internal/timbre"
)

// Find looks for a kept pulse beside the rounds that were heard, which are in order of time, and
// names its attacks, ascending; nil where there is none.
func Find(a *onset.Analysis, heard []rounds.Round) []int {
	f := newFinder(a, heard)
	var best source
	most := 0.0
	for _, seed := range f.seeds() {
		s, ok := f.source(seed)
		if weight := s.strange * s.evidence(); ok && weight > most {
			best, most = s, weight
		}
	}
	return slices.DeleteFunc(best.members, func(k int) bool {
		return f.sounds[k].Distance(f.leader) < f.sounds[k].Distance(best.middle)
	})
}

// finder looks for a source of strokes that is neither the leader's hands nor the group's.
type finder struct {
	attacks []onset.Attack
	sounds  []timbre.Timbre
	note    []bool    // whether the attack is a note of a call or an answer
	round   []int     // the round that the attack lies in: from its call to the next; -1 before
	phase   []float64 // beats from the nearest beat of that round, -0.5 to 0.5
	rounds  int
	leader  timbre.Timbre // of most notes of the calls
}

func newFinder(a *onset.Analysis, heard []rounds.Round) *finder {
	n := len(a.Attacks)
	f := &finder{
		attacks: a.Attacks, sounds: make([]timbre.Timbre, n), note: make([]bool, n), round: make([]int, n),
		phase: make([]float64, n), rounds: len(heard),
	}
	now := -1
	for i, x := range a.Attacks {
		f.sounds[i] = timbre.Of(x)
		for now+1 < len(heard) && heard[now+1].Start() <= x.Time+onNote {
			now++
		}
		f.round[i] = now
		if now >= 0 {
			call := heard[now].Call
			beats := (x.Time - call.Map.Origin) / call.Map.BeatSeconds(call.Phrase)
			f.phase[i] = beats - math.Round(beats)
		}
	}
	f.read(heard)
	return f
}

// read marks the notes of the rounds, and learns what the calls' sound like.
func (f *finder) read(heard []rounds.Round) {
	var own []timbre.Timbre
	for _, r := range heard {
		for _, t := range r.Call.Onsets {
			if k := f.mark(t); k >= 0 {
				own = append(own, f.sounds[k])
			}
		}
		if r.Answer == nil {
			continue
		}
		for _, s := range r.Call.Phrase.Strokes() {
			f.mark(r.Answer.Map.At(float64(s.Step)))
		}
	}
	if len(own) > 0 {
		f.leader = timbre.Middle(own)
	}
}

// mark marks the attacks at a note, and gives the nearest; -1 for none.
func (f *finder) mark(at float64) int {
	nearest := -1
	for k := f.from(at - onNote); k < len(f.attacks) && f.attacks[k].Time <= at+onNote; k++ {
		f.note[k] = true
		if nearest < 0 || math.Abs(f.attacks[k].Time-at) < math.Abs(f.attacks[nearest].Time-at) {
			nearest = k
		}
	}
	return nearest
}

// from is the first attack at a time or after it.
func (f *finder) from(time float64) int {
	return sort.Search(len(f.attacks), func(k int) bool { return f.attacks[k].Time >= time })
}

// seeds are attacks that may be strokes of a kept pulse: out of quiet, within a round, no notes. Of
// many, some spread evenly.
func (f *finder) seeds() []int {
	var out []int
	for i, x := range f.attacks {
		if x.Contrast >= standsOut && x.Concentration >= single && !f.note[i] && f.round[i] >= 0 {
			out = append(out, i)
		}
	}
	if len(out) <= mostSeeds {
		return out
	}
	thin := make([]int, mostSeeds)
	for i := range thin {
		thin[i] = out[i*len(out)/mostSeeds]
	}
	return thin
}
