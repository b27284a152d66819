package warmups

import (
	"cmp"
	"math"
	"slices"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
)

// Crowd is a class of warm-ups that differ in the people and in what the leader calls, not in room
// and phone: what the share of a group and its level are learnt from.
type Crowd struct {
	Name  string // one or two words with hyphens
	About string // one line

	shape func(w *warmup)
}

// Crowds lists the classes. The caller owns the slice.
func Crowds() []Crowd { return slices.Clone(crowds) }

// Scene draws a warm-up of the class with calls from the bank, which must not be empty.
func (c Crowd) Scene(seed uint64, bank []Item) synth.Scene {
	w := ordinary(seed, bank)
	w.Class, w.Rate = c.Name, 16000
	w.Flow.TalkBefore, w.Flow.TalkAfter, w.Flow.Practice, w.Flow.After = 0, 0, 0, 0
	w.Group.Level = w.between(1.8, 7)
	w.drawPeople()
	w.drawLadder(6+w.rng.IntN(9), 1.7)
	c.shape(w)
	w.drawTempos(0.1 * w.rng.Float64())
	return w.Scene
}

var crowds = []Crowd{
	{
		Name: "usual", About: "people as they are in the other warm-ups",
		shape: func(w *warmup) { w.Group.Habits = people.Habits{} },
	},
	{Name: "varied", About: "steepness, mistakes and copying as they come", shape: func(*warmup) {}},
	{Name: "loose", About: "people who are right and clap 35 to 55 ms apart", shape: func(w *warmup) {
		w.Group.Looseness, w.Group.Habits.Even, w.Group.Habits.LostLooser = w.between(1, 1.5), 1, 1
	}},
	{Name: "tight", About: "people who clap 15 to 25 ms apart, right or wrong", shape: func(w *warmup) {
		w.Group.Looseness, w.Group.Habits.Even, w.Group.Habits.LostLooser = w.between(0.4, 0.65), 1, 1
	}},
	{Name: "short", About: "eight rounds of a loose group", shape: func(w *warmup) {
		w.Group.Looseness = w.between(0.6, 1.35)
		w.drawLadder(8, 1.7)
	}},
	{
		Name: "long-phrases", About: "phrases of eight strokes and more at the group's level",
		shape: func(w *warmup) {
			long := slices.DeleteFunc(slices.Clone(w.bank),
				func(i Item) bool { return len(i.Phrase.Notes) < 8 })
			if len(long) > 6 {
				w.Group.Level = w.between(3, 7.5)
				w.drawAround(long, 6+w.rng.IntN(6), 0.2, 1)
			}
		},
	},
	{Name: "around", About: "a leader who calls what lies around the group's level", shape: func(w *warmup) {
		w.drawAround(w.bank, 8+w.rng.IntN(7), w.between(-0.8, 0.6), 1)
	}},
	{
		Name: "too-easy", About: "a leader who takes the group for weaker than it is",
		shape: func(w *warmup) { w.drawLadder(6+w.rng.IntN(7), 0.3) },
	},
	{
		Name: "too-hard", About: "a leader who takes the group for better than it is",
		shape: func(w *warmup) { w.drawLadder(6+w.rng.IntN(7), 3) },
	},
	{
		Name: "few-people", About: "four to nine people",
		shape: func(w *warmup) { w.Group.People = 4 + w.rng.IntN(6) },
	},
	{Name: "own-strength", About: "people of very different strength, near and far", shape: func(w *warmup) {
		w.Group.LoudnessSD, w.Group.Near, w.Group.Far = w.between(5, 7), 1.5, w.between(7, 10)
	}},
	{
		Name: "live-room", About: "RT60 1.2 to 2 s",
		shape: func(w *warmup) { w.Room.RT60 = w.between(1.2, 2) },
	},
}

// drawPeople draws what groups differ in. The ranges are guesses that are meant to be wide;
// steepness spans what two published rhythm tests came out at (0.93 and 1.65, Harrison &
// Müllensiefen 2018, refitted) with some room.
func (w *warmup) drawPeople() {
	rng := w.rng
	w.Group.LoudnessSD = signal.Between(rng, 3, 6)
	w.Group.Looseness = signal.Between(rng, 0.5, 1.3)
	w.Group.Habits = people.Habits{
		Steepness: w.log(0.8, 1.9), Mistakes: rng.Uint64() | 1, Copying: signal.Between(rng, -0.2, 0.7),
		LostLooser: signal.Between(rng, 1, 1.5), Even: rng.Float64(),
	}
	if rng.Float64() < 0.7 {
		w.Group.Habits.Slip = signal.Between(rng, 0.005, 0.035)
	}
}

// drawLadder picks n calls: one or two of the easiest, then up to the given distance above the
// group's level, now and then one again.
func (w *warmup) drawLadder(n int, above float64) {
	w.Calls = nil
	rng, used := w.rng, map[string]bool{}
	w.take(w.bank, w.bank[0].Difficulty, used)
	if rng.Float64() < 0.5 {
		w.take(w.bank, w.bank[0].Difficulty, used)
	}
	from := math.Min(signal.Between(rng, 1, 2.5), w.Group.Level+above)
	for start := len(w.Calls); len(w.Calls) < n; {
		x := float64(len(w.Calls)-start) / math.Max(1, float64(n-start-1))
		if len(w.Calls) > 3 && rng.Float64() < 0.1 {
			w.Calls = append(w.Calls, w.Calls[len(w.Calls)-1])
			continue
		}
		w.take(w.bank, from+(w.Group.Level+above-from)*x+0.5*rng.NormFloat64(), used)
	}
}

// drawAround picks n calls of a bank around a distance from the group's level, after one of the
// easiest.
func (w *warmup) drawAround(bank []Item, n int, above, sd float64) {
	w.Calls = nil
	used := map[string]bool{}
	w.take(w.bank, w.bank[0].Difficulty, used)
	for len(w.Calls) < n {
		w.take(bank, w.Group.Level+above+sd*w.rng.NormFloat64(), used)
	}
}

// take calls the phrase of a bank that comes nearest to a difficulty, of those not used yet if
// there is one.
func (w *warmup) take(bank []Item, target float64, used map[string]bool) {
	best := slices.MinFunc(bank, func(a, b Item) int {
		return cmp.Compare(w.cost(a, target, used),
			w.cost(b, target, used))
	})
	used[best.Phrase.ID] = true
	w.Calls = append(w.Calls, synth.Call{Phrase: best.Phrase, Difficulty: best.Difficulty})
}
