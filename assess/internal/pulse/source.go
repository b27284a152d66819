package pulse

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/timbre"
)

// source is strokes that sound alike.
type source struct {
	middle  timbre.Timbre
	members []int   // attacks, ascending
	tight   float64 // share of them near the middle: those of many people spread
	strange float64 // how many are no notes
	onBeat  float64 // share of these on a beat of the calls
	steady  float64 // and on a beat of their own
	rounds  float64 // share of the rounds that have such a stroke
}

// keepsBeat reports whether a source keeps a beat through calls and answers.
func (s source) keepsBeat() bool {
	return s.evidence() >= evidenceLeast && s.strange >= leastTrain &&
		s.strange >= strange*float64(len(s.members)) && s.rounds >= inRounds
}

// evidence is how alike the strokes sound, and how well they keep a beat: 0 to 2.
func (s source) evidence() float64 { return s.tight + max(s.onBeat, s.steady) }

// source is the strokes that sound like an attack; false where they keep no beat, or are the
// leader's or a group's.
func (f *finder) source(seed int) (source, bool) {
	s := source{middle: f.sounds[seed]}
	for range refits {
		s.members = f.alike(s.middle, alike)
		if len(s.members) < leastTrain {
			return s, false
		}
		sounds := make([]timbre.Timbre, len(s.members))
		for i, k := range s.members {
			sounds[i] = f.sounds[k]
		}
		s.middle = timbre.Middle(sounds)
	}
	if s.middle[timbre.Concentration] < single/timbre.ConcentrationUnit || s.middle.Like(f.leader, alike) {
		return s, false
	}
	s.tight = float64(len(f.alike(s.middle, alike/2))) / float64(len(s.members))
	before := -1
	for _, k := range s.members {
		if f.note[k] {
			continue
		}
		s.strange++
		if math.Abs(f.phase[k]) < offBeat {
			s.onBeat++
		}
		if f.round[k] != before {
			before = f.round[k]
			s.rounds += 1 / float64(f.rounds)
		}
	}
	s.onBeat /= max(1, s.strange)
	if s.tight+1 < evidenceLeast || s.strange < leastTrain {
		return s, false
	}
	for j, k := range s.members {
		if !f.note[k] && f.onOwnBeat(s, j) {
			s.steady += 1 / s.strange
		}
	}
	return s, s.keepsBeat()
}

// alike lists the attacks that sound like a middle.
func (f *finder) alike(middle timbre.Timbre, within float64) []int {
	var out []int
	for i, s := range f.sounds {
		if s.Like(middle, within) {
			out = append(out, i)
		}
	}
	return out
}

// onOwnBeat reports whether member j of a source has others on either side of it at one distance,
// which may be hidden by louder strokes, and none between.
func (f *finder) onOwnBeat(s source, j int) bool {
	t := f.attacks[s.members[j]].Time
	for _, k := range f.near(s, j, longestBeat*(hiddenMost+1)) {
		for n := 1; n <= hiddenMost+1; n++ {
			beat := math.Abs(f.attacks[s.members[k]].Time-t) / float64(n)
			if beat < shortestBeat || beat > longestBeat {
				continue
			}
			if f.beats(s, t, beat)-2*f.divided(s, j, beat) >= ownLeast {
				return true
			}
		}
	}
	return false
}

// near are the members of a source within reach seconds of member j, without it.
func (f *finder) near(s source, j int, reach float64) []int {
	t := f.attacks[s.members[j]].Time
	var out []int
	for k := j - 1; k >= 0 && t-f.attacks[s.members[k]].Time <= reach; k-- {
		out = append(out, k)
	}
	for k := j + 1; k < len(s.members) && f.attacks[s.members[k]].Time-t <= reach; k++ {
		out = append(out, k)
	}
	return out
}

// beats counts the strokes of a source on beats before and after a time, as far as no beat is
// missing.
func (f *finder) beats(s source, t, beat float64) int {
	off := offOwn + offOwnShare*beat
	hits := 0
	for _, way := range [...]float64{-beat, beat} {
		for n, hidden := 1, 0; n <= ownReach && hidden <= hiddenMost; n++ {
			at := t + float64(n)*way
			switch {
			case f.has(s.members, at, off):
				hits, hidden = hits+1, 0
			case f.louder(at, s.middle[timbre.Level]):
				hidden++
			default:
				hidden = hiddenMost + 1
			}
		}
	}
	return hits
}

// divided counts the strokes of a source within one beat of its member j: a kept beat has none.
func (f *finder) divided(s source, j int, beat float64) int {
	within := beat - 2*(offOwn+offOwnShare*beat)
	n := 0
	for _, k := range f.near(s, j, within) {
		if math.Abs(f.attacks[s.members[k]].Time-f.attacks[s.members[j]].Time) > ownApart {
			n++
		}
	}
	return n
}

// has reports whether one of some attacks, ascending, lies at a time.
func (f *finder) has(members []int, at, reach float64) bool {
	k, _ := slices.BinarySearchFunc(members, at-reach, func(m int, t float64) int {
		if f.attacks[m].Time < t {
			return -1
		}
		return 1
	})
	return k < len(members) && f.attacks[members[k]].Time <= at+reach
}

// louder reports whether an attack at a time is louder than a level, in its unit.
func (f *finder) louder(at, than float64) bool {
	for k := f.from(at - hiddenReach); k < len(f.attacks) && f.attacks[k].Time <= at+hiddenReach; k++ {
		if f.sounds[k][timbre.Level] > than {
			return true
		}
	}
	return false
}
