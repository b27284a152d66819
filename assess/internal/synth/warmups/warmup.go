// Package warmups draws scenes of made-up warm-ups by class: ordinary ones, hard ones, what real
// sessions hold besides, and groups of different people, from a seed and a bank. Tests, benchmarks
// and the fitting of numbers take theirs from here; sound is made by package synth.
//
// [Presets] are classes of warm-ups; [Sessions] are classes of what real sessions hold besides, most
// of which can be compared with the same people undisturbed ([Preset.Without]); [Crowds] differ in
// the people alone. [Suite] draws from all, in two halves that share no seed.
package warmups

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// Item is a phrase of a bank with its difficulty.
type Item struct {
	Phrase     people.Phrase // of the bank
	Difficulty float64       // on the tier scale
}

// warmup draws scenes.
type warmup struct {
	synth.Scene
	rng  *rand.Rand
	bank []Item
}

// ordinary draws a warm-up as they usually are: 8 to 60 people in a room with RT60 0.3 to 1.5 s,
// talk and noise 10 to 30 dB below the strokes, seamless or with pauses.
func ordinary(seed uint64, bank []Item) *warmup {
	w := &warmup{Scene: synth.Scene{Seed: seed}, rng: signal.Stream(seed, "scene"), bank: slices.Clone(bank)}
	slices.SortStableFunc(w.bank, func(a, b Item) int { return cmp.Compare(a.Difficulty, b.Difficulty) })
	rng := w.rng

	hardest := 6.0
	if len(w.bank) > 0 {
		hardest = w.bank[len(w.bank)-1].Difficulty
	}
	w.Group = people.Group{
		People: int(math.Round(w.log(8, 60))),
		Level:  signal.Between(rng, 2.2, math.Max(3, math.Min(hardest-0.5, 7))),
		Mix: []people.Mix{
			people.Alike, people.Varied, people.Thirds, people.Alike, people.Varied,
		}[rng.IntN(5)],
		Looseness: signal.Between(rng, 0.6, 1.3),
		Lag:       signal.Between(rng, -0.02, 0.06),
	}
	w.Leader = synth.Leader{
		Sound: []sounds.Kind{
			sounds.Clap, sounds.Clap, sounds.Clap, sounds.Sticks, sounds.Drum,
		}[rng.IntN(5)],
		LevelDB:  signal.Between(rng, -9, 3),
		Distance: signal.Between(rng, 0.6, 1.8),
	}
	w.Room = acoustics.Room{RT60: w.log(0.3, 1.5)}
	w.Background = synth.Background{
		NoiseDB: signal.Between(rng, -30, -10), Laughs: rng.IntN(3), Bumps: rng.IntN(4),
	}
	if rng.Float64() < 0.6 {
		w.Background.Voices = 1 + rng.IntN(5)
		w.Background.TalkDB = signal.Between(rng, -30, -10)
	}
	w.Rate = []int{16000, 16000, 16000, 16000, 16000, 16000, 16000, 44100, 44100, 48000}[rng.IntN(10)]
	w.Phone = acoustics.Phone{LowCut: signal.Between(rng, 60, 200)}
	if rng.Float64() < 0.4 {
		w.Phone.AGC = signal.Between(rng, 1.3, 3)
	}
	w.drawFlow()
	w.drawCalls(w.bank, 6+rng.IntN(7))
	w.drawTempos(0.15 * rng.Float64())
	return w
}

// between draws evenly from a range.
func (w *warmup) between(least, most float64) float64 { return signal.Between(w.rng, least, most) }

// log draws from a range evenly on a logarithmic scale.
func (w *warmup) log(least, most float64) float64 {
	return least * math.Pow(most/least, w.rng.Float64())
}

func (w *warmup) drawFlow() {
	rng := w.rng
	w.Flow = synth.Flow{
		Seamless: rng.Float64() < 0.45, CallPause: signal.Between(rng, 1.5, 5), Praise: rng.Float64() < 0.6,
		CountIn: synth.CountIn(rng.IntN(3)), CountEach: rng.Float64() < 0.25,
		LeaderDB: signal.Between(rng, -24, -12),
	}
	if !w.Flow.Seamless && rng.Float64() < 0.4 {
		w.Flow.AnswerPause = signal.Between(rng, 0.2, 1.2)
	}
	if rng.Float64() < 0.5 {
		w.Flow.TalkBefore = signal.Between(rng, 2, 8)
	}
	if rng.Float64() < 0.2 {
		w.Flow.Practice = signal.Between(rng, 3, 6)
	}
	if rng.Float64() < 0.3 {
		w.Flow.TalkAfter = signal.Between(rng, 2, 5)
	}
	if rng.Float64() < 0.2 {
		w.Flow.After = signal.Between(rng, 2, 5)
	}
}

// drawCalls picks n calls as leaders do: two of the easiest, then up the ladder to above what the
// group can do, now and then one again, often an easy one to end with.
func (w *warmup) drawCalls(bank []Item, n int) {
	w.Calls = nil
	if len(bank) == 0 {
		return
	}
	rng := w.rng
	used := map[string]bool{}
	take := func(target float64) {
		best := slices.MinFunc(bank, func(a, b Item) int {
			return cmp.Compare(w.cost(a, target,
				used), w.cost(b, target, used))
		})
		used[best.Phrase.ID] = true
		w.Calls = append(w.Calls, synth.Call{Phrase: best.Phrase, Difficulty: best.Difficulty})
	}
	take(bank[0].Difficulty)
	take(bank[0].Difficulty)
	for i := 2; i < n; i++ {
		x := float64(i-2) / math.Max(1, float64(n-3))
		switch {
		case i == n-1 && rng.Float64() < 0.4:
			take(w.Group.Level - 2.5)
		case i > 3 && rng.Float64() < 0.1:
			w.Calls = append(w.Calls, w.Calls[i-1])
		default:
			take(w.Group.Level - 2 + 3.7*x + 0.5*rng.NormFloat64())
		}
	}
}

// cost ranks phrases for a target difficulty; those used before come last.
func (w *warmup) cost(item Item, target float64, used map[string]bool) float64 {
	cost := math.Abs(item.Difficulty - target)
	if used[item.Phrase.ID] {
		cost += 100
	}
	return cost
}

// drawTempos gives every call a tempo of its own; the fastest is faster than the slowest by at most
// the given share.
func (w *warmup) drawTempos(change float64) {
	common := w.between(0.9, 1.12)
	for i := range w.Calls {
		c := &w.Calls[i]
		c.Tempo = signal.Clamp(c.Phrase.Tempo*common*math.Pow(1+change, w.between(-0.5, 0.5)), 20, 400)
	}
}

// improvise makes up a phrase of one or two bars of 4/4 that is not in the bank.
func (w *warmup) improvise() people.Phrase {
	cells := [][]float64{
		{0},
		{0},
		{0, 0.5},
		{0, 0.5},
		{0.5},
		{},
		{0, 0.25, 0.5, 0.75},
		{0, 0.5, 0.75},
		{0, 0.75},
	}
	for {
		bars := 1 + w.rng.IntN(2)
		p := people.Phrase{
			Metre: "4/4", Tempo: math.Round(w.between(84, 108)),
			Length: float64(4 * bars), Bar: 4,
		}
		for beat := range 4 * bars {
			for _, at := range cells[w.rng.IntN(len(cells))] {
				p.Notes = append(p.Notes, people.Note{Beat: float64(beat) + at})
			}
		}
		known := slices.ContainsFunc(w.bank, func(item Item) bool { return sameRhythm(item.Phrase, p) })
		if len(p.Notes) >= 3*bars && !known {
			return p
		}
	}
}

func sameRhythm(a, b people.Phrase) bool {
	return slices.EqualFunc(a.Notes, b.Notes,
		func(x, y people.Note) bool { return math.Abs(x.Beat-y.Beat) < 1e-6 })
}

// unusual picks the phrases in compound and additive metres.
func unusual(bank []Item) []Item {
	var out []Item
	for _, item := range bank {
		if m := item.Phrase.Metre; strings.Contains(m, "/8") || strings.HasPrefix(m, "5/") ||
			strings.HasPrefix(m, "7/") {
			out = append(out, item)
		}
	}
	return out
}

// withBodySounds puts stamps and pats into a phrase: the rhythm stays.
func withBodySounds(p people.Phrase, rng *rand.Rand) people.Phrase {
	p.Notes = slices.Clone(p.Notes)
	low := []sounds.Kind{sounds.Stamp, sounds.Pat}[rng.IntN(2)]
	high := []sounds.Kind{sounds.Clap, sounds.Clap, sounds.Snap}[rng.IntN(3)]
	for i := range p.Notes {
		n := &p.Notes[i]
		n.Sound = high
		if math.Mod(n.Beat, 2) < 1e-6 {
			n.Sound = low
		}
	}
	return p
}
