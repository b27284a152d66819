package synth

import (
	"cmp"
	"math"
	"slices"
)

// belongs is the largest distance between a clap and the note it belongs to: 0.4 of the shortest interval, at most
// 120 ms. One person fits ±80 ms or 0.3 to 0.4 of the shortest interval best to experts' grades (conservatory takes,
// re-analysed); people in a group add their own habits, hence the wider cap.
func belongs(p Phrase, perBeat float64) float64 {
	return math.Min(0.4*p.shortest()*perBeat, 0.120)
}

// heard is one clap of an answer with its energy relative to one usual stroke of the whole group.
type heard struct {
	time   float64
	person int
	note   int // −1 as long as it belongs to none
	energy float64
}

// measure fills in what a response turned out to be. weight is the share of the group's energy that a usual stroke of a
// person brings, by person.
func (p *plan) measure(round int, weight func(s Sound) []float64) {
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

	window := belongs(a.called, a.perBeat)
	centres := make([]float64, len(a.called.Notes))
	for k, n := range a.called.Notes {
		centres[k] = a.clock + offset + n.Beat*a.perBeat
	}
	matchNotes(claps, centres, window)
	for k := range centres { // the group's own mean, where there is a group
		if times := timesAt(claps, k); len(times) >= 3 {
			centres[k], _ = meanSD(times)
		}
	}
	matchNotes(claps, centres, window)

	sum, free := 0.0, 0.0
	for k, n := range a.called.Notes {
		note := NoteTruth{Beat: n.Beat, Time: rounded(centres[k])}
		times := timesAt(claps, k)
		if len(times) > 0 {
			mean, sd := meanSD(times)
			note.Time, note.Spread = rounded(mean), rounded(sd)
			sum += sd * sd * float64(len(times)-1)
			free += float64(len(times) - 1)
		}
		note.Participation = rounded(float64(len(times)) / people)
		for _, c := range claps {
			if c.note == k {
				note.Energy += c.energy
			}
		}
		note.Energy = rounded(note.Energy)
		r.Notes = append(r.Notes, note)
	}
	if free > 0 {
		r.Spread = rounded(math.Sqrt(sum / free))
	}
	r.Extras = extras(claps, window, people)
	p.countMistakes(a, r)
}

// clapsOf collects the group's claps in an answer.
func (p *plan) clapsOf(round int, weight func(s Sound) []float64) []heard {
	var claps []heard
	for _, s := range p.truth.Strokes {
		if s.Round != round || s.Role != InAnswer {
			continue
		}
		level := s.LevelDB
		if s.Accent {
			level -= accentDB
		}
		usual := weight(s.Sound)[s.Person-1]
		claps = append(claps, heard{
			time: s.Time, person: s.Person, note: -1,
			energy: usual * math.Pow(10, level/10) / meanEnergy(p.people[s.Person-1].variation),
		})
	}
	return claps
}

// meanEnergy is the mean power factor of strokes whose level varies with the given SD in dB (mean of a lognormal).
func meanEnergy(sd float64) float64 {
	s := sd * math.Ln10 / 10
	return math.Exp(s * s / 2)
}

// meanOffset is where the group sits against its own clock: the people who got the phrase if they are at least three,
// else everybody's habit and air.
func (p *plan) meanOffset(a *answer, claps []heard) float64 {
	sum, n, got := 0.0, 0, 0
	for i, did := range a.attempts {
		if !did.got {
			continue
		}
		got++
		k := 0
		for _, c := range claps {
			if c.person == i+1 && k < len(did.strokes) {
				sum += c.time - a.clock - did.strokes[k].beat*a.perBeat
				k++
			}
		}
		n += k
	}
	if got >= 3 {
		return sum / float64(n)
	}
	sum = 0
	for _, who := range p.people {
		sum += who.habit + who.delay()
	}
	return sum / float64(len(p.people))
}

// matchNotes gives every clap its note: nearest pairs first, one clap of each person to a note.
func matchNotes(claps []heard, centres []float64, window float64) {
	type pair struct {
		clap, note int
		apart      float64
	}
	var pairs []pair
	for i := range claps {
		claps[i].note = -1
		for k, centre := range centres {
			if apart := math.Abs(claps[i].time - centre); apart <= window {
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

func timesAt(claps []heard, note int) []float64 {
	var times []float64
	for _, c := range claps {
		if c.note == note {
			times = append(times, c.time)
		}
	}
	return times
}

// extras joins claps that belong to no note into bursts: a clap joins while it is within the window of the burst's mean.
func extras(claps []heard, window, people float64) []Extra {
	var out []Extra
	var times []float64
	var who []int
	energy := 0.0
	flush := func() {
		if len(times) > 0 {
			mean, _ := meanSD(times)
			slices.Sort(who)
			share := float64(len(slices.Compact(who))) / people
			out = append(out, Extra{rounded(mean), rounded(share), rounded(energy)})
		}
		times, who, energy = nil, nil, 0
	}
	for _, c := range claps { // by time
		if c.note >= 0 {
			continue
		}
		if mean, _ := meanSD(times); len(times) > 0 && c.time-mean > window {
			flush()
		}
		times, who, energy = append(times, c.time), append(who, c.person), energy+c.energy
	}
	flush()
	return out
}

func (p *plan) countMistakes(a *answer, r *Response) {
	counts := map[Mistake]int{}
	for _, did := range a.attempts {
		if did.got {
			r.Got++
		}
		for _, m := range did.mistakes {
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
