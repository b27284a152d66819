package warmups

import (
	"slices"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
)

// Preset is a class of warm-ups.
type Preset struct {
	Name     string // one or two words with hyphens
	About    string // one line
	Hard     bool   // harder to listen to than most
	Mute     bool   // nobody answers anything in it
	Tierless bool   // fewer than two people answer: nothing can be said about a group

	shape   func(w *warmup)
	disturb func(w *warmup) // adds what [Preset.Without] leaves out; may be nil
}

// Scene draws a warm-up of the class with calls from the bank, which has the unit of difficulty of
// [Group.Level]. An empty bank gives a scene whose calls are all made up.
func (p Preset) Scene(seed uint64, bank []Item) synth.Scene {
	w := p.undisturbed(seed, bank)
	if p.disturb != nil {
		p.disturb(w)
	}
	return w.Scene
}

// Without draws the same warm-up, with the same people doing the same, without what makes the class;
// false where that would make no sense.
func (p Preset) Without(seed uint64, bank []Item) (synth.Scene, bool) {
	if p.disturb == nil {
		return synth.Scene{}, false
	}
	return p.undisturbed(seed, bank).Scene, true
}

func (p Preset) undisturbed(seed uint64, bank []Item) *warmup {
	w := ordinary(seed, bank)
	w.Class = p.Name
	if len(bank) == 0 {
		improvised(w)
	}
	if p.shape != nil {
		p.shape(w)
	}
	return w
}

// Presets lists the classes, the ordinary one first. The caller owns the slice.
func Presets() []Preset { return slices.Clone(presets) }

// PresetNamed finds a class, of [Sessions] too.
func PresetNamed(name string) (Preset, bool) {
	for _, p := range slices.Concat(presets, sessions) {
		if p.Name == name {
			return p, true
		}
	}
	return Preset{}, false
}

var presets = []Preset{
	{
		Name: "ordinary", About: "8 to 60 people, RT60 0.3 to 1.5 s, talk and noise 10 to 30 dB below",
		shape: func(*warmup) {},
	},
	{Name: "easy-room", About: "dry and quiet, a tight group", shape: func(w *warmup) {
		w.Room.RT60 = w.between(0.3, 0.45)
		w.Background = synth.Background{NoiseDB: -32}
		w.Group.Looseness = 0.6
	}},
	{Name: "hall", About: "RT60 1.8 to 2 s", Hard: true, shape: func(w *warmup) {
		w.Room.RT60 = w.between(1.8, 2)
	}},
	{Name: "babble", About: "six voices 5 dB below the strokes", Hard: true, shape: func(w *warmup) {
		w.Background.Voices, w.Background.TalkDB = 6, -5
	}},
	{Name: "music", About: "music in the background", Hard: true, shape: func(w *warmup) {
		w.Background.Music, w.Background.MusicDB = true, w.between(-14, -8)
	}},
	{Name: "eight-people", About: "a small group", shape: func(w *warmup) { w.Group.People = 8 }},
	{Name: "sixty-people", About: "a big group, as far as 10 m away", Hard: true, shape: func(w *warmup) {
		w.Group.People, w.Group.Near, w.Group.Far = 60, 2.5, 10
	}},
	{
		Name: "phone-16k", About: "a phone of 16 kHz with narrow band and strong gain control",
		Hard: true, shape: func(w *warmup) {
			w.Rate = 16000
			w.Phone = acoustics.Phone{LowCut: 250, HighCut: 6500, AGC: w.between(3, 5), Bits: 12}
		},
	},
	{Name: "phone-8k", About: "telephone band at 8 kHz", Hard: true, shape: func(w *warmup) {
		w.Rate = 8000
		w.Phone = acoustics.Phone{LowCut: 300, HighCut: 3400, AGC: 2, Bits: 10, Coding: 0.25}
	}},
	{Name: "low-bit-rate", About: "a codec at its lowest rate", Hard: true, shape: func(w *warmup) {
		w.Phone.Coding = w.between(0.6, 1)
	}},
	{Name: "eight-bit", About: "8 bits a sample", Hard: true, shape: func(w *warmup) { w.Phone.Bits = 8 }},
	{
		Name: "overdriven", About: "peaks 6 to 12 dB over full scale, clipped", Hard: true,
		shape: func(w *warmup) {
			w.Phone.ClipDB = w.between(6, 12)
		},
	},
	{
		Name: "metres", About: "compound and additive metres, and five beats", Hard: true,
		shape: func(w *warmup) {
			if found := unusual(w.bank); len(found) > 0 {
				plain := w.Calls[:min(2, len(w.Calls))]
				w.drawCalls(found, 6+w.rng.IntN(3))
				w.Calls = append(slices.Clone(plain), w.Calls...)
				w.drawTempos(0.05)
			}
		},
	},
	{Name: "mixed-group", About: "thirds two tiers apart", shape: func(w *warmup) {
		w.Group.Mix = people.Thirds
	}},
	{
		Name: "wrong-phrase", About: "some calls are answered with another phrase", Hard: true,
		shape: wrongPhrases,
	},
	{Name: "missing-answers", About: "some calls get no answer", shape: func(w *warmup) {
		for i := range w.Calls {
			if i > 1 && w.rng.Float64() < 0.35 {
				w.Calls[i].Answer = synth.Nothing
			}
		}
	}},
	{Name: "no-response", About: "nobody ever answers", Mute: true, shape: func(w *warmup) {
		w.Flow.Practice, w.Flow.After = 0, 0
		for i := range w.Calls {
			w.Calls[i].Answer = synth.Nothing
		}
	}},
	{Name: "leader-repeats", About: "the leader alone plays calls twice", Mute: true, shape: func(w *warmup) {
		w.Flow.Practice, w.Flow.After = 0, 0
		softer := w.between(0, 9)
		for i := range w.Calls {
			c := &w.Calls[i]
			c.Answer, c.Softer = synth.Repeated, softer
			if w.rng.Float64() < 0.15 {
				c.Answer = synth.Nothing
			}
		}
	}},
	{Name: "talk-only", About: "talk, laughter and chairs, no call", Mute: true, shape: func(w *warmup) {
		w.Calls = nil
		w.Flow = synth.Flow{TalkBefore: w.between(15, 30)}
		w.Background.Voices, w.Background.TalkDB = 3, -18
		w.Background.Laughs, w.Background.Bumps = 3, 5
	}},
	{
		Name: "practice-only", About: "people trying things on their own, no call", Mute: true,
		shape: func(w *warmup) {
			w.Calls = nil
			w.Flow = synth.Flow{Practice: w.between(15, 30), TalkAfter: 5}
		},
	},
	{Name: "leader-along", About: "the leader plays the answers too", Hard: true, shape: func(w *warmup) {
		w.Leader.ClapsAlong = true
	}},
	{Name: "one-pupil", About: "a single person answers", Hard: true, Tierless: true, shape: func(w *warmup) {
		w.Group.People, w.Group.Near, w.Group.Far, w.Leader.LevelDB = 1, 1.2, 3, w.between(-2, 4)
	}},
	{Name: "class-of-three", About: "three people answer", Hard: true, shape: func(w *warmup) {
		w.Group.People, w.Group.Near, w.Group.Far, w.Leader.LevelDB = 3, 1.2, 4, w.between(-4, 3)
	}},
	{Name: "seamless", About: "no beat is lost between calls and answers", shape: func(w *warmup) {
		w.Flow.Seamless, w.Flow.AnswerPause, w.Flow.CountEach = true, 0, false
	}},
	{Name: "long-pauses", About: "pauses before answers and calls, and praise", shape: func(w *warmup) {
		w.Flow.Seamless, w.Flow.Praise = false, true
		w.Flow.AnswerPause, w.Flow.CallPause = w.between(0.5, 2.5), w.between(4, 8)
	}},
	{
		Name: "tempo-changes", About: "the leader's tempo changes by up to 15 % and the group rushes",
		shape: func(w *warmup) {
			w.drawTempos(0.15)
			w.Group.Rush, w.Group.RushSD = 1.04, 0.03
		},
	},
	{Name: "improvised", About: "half of the calls are not in the bank", shape: improvised},
	{Name: "again", About: "phrases are tried twice, called again or not", shape: func(w *warmup) {
		for i := range w.Calls {
			if w.rng.Float64() < 0.3 {
				w.Calls[i].Attempts = 2
			} else if i > 2 && w.rng.Float64() < 0.3 {
				w.Calls[i] = w.Calls[i-1]
			}
		}
	}},
	{Name: "laughter", About: "laughter and chairs all the time", Hard: true, shape: func(w *warmup) {
		w.Background.Laughs, w.Background.LaughDB = 10, -5
		w.Background.Bumps, w.Background.BumpDB = 15, -4
	}},
	{Name: "body-sounds", About: "stamps, pats and snaps", shape: func(w *warmup) {
		for i := range w.Calls {
			w.Calls[i].Phrase = withBodySounds(w.Calls[i].Phrase, w.rng)
		}
	}},
	{
		Name: "runs-on", About: "everybody plays on together for up to two minutes", Hard: true,
		shape: func(w *warmup) {
			w.Flow.Groove = w.between(40, 120)
		},
	},
	{Name: "loose-group", About: "a late group that claps far apart", Hard: true, shape: func(w *warmup) {
		w.Group.Looseness, w.Group.Lag = 1.6, w.between(0.05, 0.15)
	}},
}

// wrongPhrases lets about a third of the calls be answered with the call before, or with another of
// the bank.
func wrongPhrases(w *warmup) {
	for i := 2; i < len(w.Calls); i++ {
		c := &w.Calls[i]
		instead := w.Calls[i-1].Phrase
		if w.rng.Float64() < 0.4 && len(w.bank) > 0 {
			instead = w.bank[w.rng.IntN(len(w.bank))].Phrase
		}
		if (w.rng.Float64() < 0.35 || i == 4) && instead.Length == c.Phrase.Length &&
			!sameRhythm(instead, c.Phrase) {
			c.Answer, c.Instead = synth.Different, instead
		}
	}
}

// improvised replaces calls by phrases that are in no bank, as hard as what they replace.
func improvised(w *warmup) {
	for len(w.Calls) < 6 {
		w.Calls = append(w.Calls, synth.Call{Difficulty: w.Group.Level - 2 + 0.6*float64(len(w.Calls))})
	}
	for i := range w.Calls {
		c := &w.Calls[i]
		if !c.Phrase.Valid() || i > 1 && w.rng.Float64() < 0.5 {
			c.Phrase = w.improvise()
			c.Tempo = 0
		}
	}
}
