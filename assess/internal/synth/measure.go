package synth

import (
	"cmp"
	"math"
	"slices"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
)

// belongs is how far from a note, in seconds, a clap may be meant and still belong to it: 0.4 of
// the shortest interval, at most 120 ms. Single persons fit ±80 ms, or 0.3 to 0.4 of the shortest
// interval, best to experts' grades (conservatory takes, re-analysed); the cap is wider because it
// does not include anybody's jitter.
func belongs(p people.Phrase, perBeat float64) float64 {
	return math.Min(0.4*p.Shortest()*perBeat, 0.120)
}

// heard is one clap of an answer.
type heard struct {
	time   float64
	beat   float64 // where it is meant, on the group's pulse
	person int
	note   int     // −1 as long as it belongs to none
	energy float64 // relative to one usual stroke of the whole group
}

// measure fills in what a response turned out to be. weight is the share of the group's energy that
// a usual stroke of a person brings, by person.
func (p *plan) measure(round int, weight func(s sounds.Kind) []float64) {
	a, r := p.answers[round], p.truth.Rounds[round].Response
	if a == nil {
		return
	}
	claps := p.clapsOf(round, weight)
	people := float64(len(p.people))

	offset := p.meanOffset(a, claps)
	r.Start = rounded(a.clock + offset)
	r.End = rounded(a.clock + offset + a.called.Length*a.perBeat)
	r.Lag = rounded(a.clock + offset - r.Due)

	window := belongs(a.called, a.perBeat) / a.perBeat
	match(claps, a.called.Notes, window)
	squares, free := 0.0, 0.0
	for k, n := range a.called.Notes {
		note := NoteTruth{Beat: n.Beat, Time: rounded(a.clock + offset + n.Beat*a.perBeat)}
		var times []float64
		for _, c := range claps {
			if c.note == k {
				times = append(times, c.time)
				note.Energy += c.energy
			}
		}
		if len(times) > 0 {
			mean, sd := meanSD(times)
			note.Time, note.Spread = rounded(mean), rounded(sd)
			squares += sd * sd * float64(len(times)-1)
			free += float64(len(times) - 1)
		}
		note.Participation = rounded(float64(len(times)) / people)
		note.Energy = rounded(note.Energy)
		r.Notes = append(r.Notes, note)
	}
	if free > 0 {
		r.Spread = rounded(math.Sqrt(squares / free))
	}
	r.Extras = extras(claps, window, people)
	p.countMistakes(a, r)
}

// clapsOf collects the group's claps in an answer, by time. Nobody's strokes change their order in
// time, so the n-th clap of a person is the n-th stroke that was meant.
func (p *plan) clapsOf(round int, weight func(s sounds.Kind) []float64) []heard {
	var claps []heard
	next := make([]int, len(p.people))
	for _, s := range p.truth.Strokes {
		if s.Round != round || s.Role != InAnswer {
			continue
		}
		i := s.Person - 1
		level := s.LevelDB
		if s.Accent {
			level -= accentDB
		}
		claps = append(claps, heard{
			time: s.Time, beat: p.answers[round].attempts[i].Strokes[next[i]].Beat, person: i, note: -1,
			energy: weight(s.Sound)[i] * math.Pow(10, level/10) / meanEnergy(p.people[i].Variation),
		})
		next[i]++
	}
	return claps
}

// meanEnergy is the mean power factor of strokes whose level varies with the given SD in dB (mean
// of a lognormal).
func meanEnergy(sd float64) float64 {
	s := sd * math.Ln10 / 10
	return math.Exp(s * s / 2)
}

// meanOffset is where the group sits against its own clock: the people who got the phrase if they
// are at least three, else everybody's habit and air.
func (p *plan) meanOffset(a *answer, claps []heard) float64 {
	sum, n, got := 0.0, 0.0, 0
	for _, did := range a.attempts {
		if did.Got {
			got++
		}
	}
	if got >= 3 {
		for _, c := range claps {
			if a.attempts[c.person].Got {
				sum += c.time - a.clock - c.beat*a.perBeat
				n++
			}
		}
		return sum / n
	}
	for _, who := range p.people {
		sum += who.Habit + who.Delay()
	}
	return sum / float64(len(p.people))
}

// match gives every clap its note: pairs that are meant nearest first, one clap of each person to a
// note.
func match(claps []heard, notes []people.Note, window float64) {
	type pair struct {
		clap, note int
		apart      float64
	}
	var pairs []pair
	for i, c := range claps {
		for k, n := range notes {
			if apart := math.Abs(c.beat - n.Beat); apart <= window {
				pairs = append(pairs, pair{i, k, apart})
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.apart, b.apart) })
	taken := map[[2]int]bool{}
	for _, m := range pairs {
		key := [2]int{claps[m.clap].person, m.note}
		if claps[m.clap].note < 0 && !taken[key] {
			claps[m.clap].note = m.note
			taken[key] = true
		}
	}
}

// extras joins claps that belong to no note into bursts: a clap joins while it is meant within the
// window of the first.
func extras(claps []heard, window, people float64) []Extra {
	spare := slices.DeleteFunc(slices.Clone(claps), func(c heard) bool { return c.note >= 0 })
	slices.SortStableFunc(spare, func(a, b heard) int { return cmp.Compare(a.beat, b.beat) })
	var out []Extra
	for len(spare) > 0 {
		n := 1
		for n < len(spare) && spare[n].beat-spare[0].beat <= window {
			n++
		}
		time, energy, who := 0.0, 0.0, map[int]bool{}
		for _, c := range spare[:n] {
			time += c.time / float64(n)
			energy += c.energy
			who[c.person] = true
		}
		out = append(out, Extra{rounded(time), rounded(float64(len(who)) / people), rounded(energy)})
		spare = spare[n:]
	}
	return out
}

func (p *plan) countMistakes(a *answer, r *Response) {
	counts := map[people.Mistake]int{}
	for _, did := range a.attempts {
		if did.Got {
			r.Got++
		}
		for _, m := range did.Mistakes {
			counts[m]++
		}
	}
	people := float64(len(p.people))
	r.Share = rounded(float64(r.Got) / people)
	for kind, n := range counts {
		r.Mistakes = append(r.Mistakes, MistakeShare{kind, rounded(float64(n) / people)})
	}
	slices.SortFunc(r.Mistakes, func(a, b MistakeShare) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Kind, b.Kind))
	})
}
