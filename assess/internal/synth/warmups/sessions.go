package warmups

import (
	"slices"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
)

// Sessions lists classes of what real sessions hold and the other classes do not: calls that no bank
// has, words, a kept pulse, applause, what goes on before and after, phones that level the sound. The
// caller owns the slice.
//
// All draw from the same ordinary warm-up for the same seed, the first of them unchanged.
func Sessions() []Preset { return slices.Clone(sessions) }

var sessions = slices.Concat([]Preset{{Name: "undisturbed", About: "ordinary warm-ups to compare with"}},
	calledSessions, soundSessions, peopleSessions, aroundSessions, aloneSessions, phoneSessions,
	happeningSessions)

// calledSessions differ in what is called.
var calledSessions = []Preset{
	{
		Name: "outside-bank", About: "every second phrase is not in the listener's bank", Hard: true,
		disturb: func(w *warmup) { w.leaveOut(2) },
	},
	{
		Name: "all-outside", About: "no phrase is in the listener's bank", Hard: true,
		disturb: func(w *warmup) { w.leaveOut(1) },
	},
	{
		Name: "no-bank", About: "there is no bank to listen with", Hard: true,
		disturb: func(w *warmup) {
			for _, item := range w.bank {
				w.Outside = append(w.Outside, item.Phrase.ID)
			}
		},
	},
	{
		Name: "miscalled", About: "the leader claps phrases slightly wrong", Hard: true,
		disturb: func(w *warmup) {
			for i := range w.Calls {
				if c := &w.Calls[i]; i > 1 && w.rng.Float64() < 0.5 {
					if p, ok := w.miscall(c.Phrase); ok {
						c.Meant, c.Phrase = c.Phrase.ID, p
					}
				}
			}
		},
	},
	{
		Name: "drum-calls", About: "the leader calls on a hand drum or sticks",
		shape: func(w *warmup) { w.Leader.Sound = sounds.Clap },
		disturb: func(w *warmup) {
			w.Leader.Sound = []sounds.Kind{sounds.Drum, sounds.Drum, sounds.Sticks}[w.rng.IntN(3)]
		},
	},
}

// soundSessions differ in what sounds beside the strokes.
var soundSessions = []Preset{
	{
		Name: "leader-words", About: "the leader says the words as loud as the claps", Hard: true,
		disturb: func(w *warmup) { w.Words = synth.Words{Leader: true, LeaderDB: w.between(-4, 2)} },
	},
	{
		Name: "all-words", About: "the leader and the group say the words", Hard: true,
		disturb: func(w *warmup) {
			w.Words = synth.Words{Leader: true, LeaderDB: w.between(-4, 2), Group: true}
			w.Words.GroupDB = w.between(-8, 0)
		},
	},
	{
		Name: "kept-pulse", About: "a foot or a low drum keeps the beat, 6 dB below", Hard: true,
		disturb: func(w *warmup) {
			low := []sounds.Kind{sounds.Stamp, sounds.Bass, sounds.Drum}[w.rng.IntN(3)]
			w.Pulse = synth.Pulse{Sound: low, DB: -6}
		},
	},
	{
		Name: "applause", About: "applause after every third answer", Hard: true,
		shape: func(w *warmup) {
			for i := 3; i < len(w.Calls); i += 3 {
				w.Calls[i].Pause = w.between(5, 8)
			}
		},
		disturb: func(w *warmup) {
			for i := 2; i < len(w.Calls); i += 3 {
				w.Calls[i].Applause = w.between(2, 3.8)
			}
		},
	},
	{
		Name: "talked-over", About: "the leader speaks over every second answer", Hard: true,
		disturb: func(w *warmup) { w.Flow.TalkOver, w.Flow.LeaderDB = true, -6 },
	},
}

// peopleSessions differ in the people. Without does not apply to them.
var peopleSessions = []Preset{
	{Name: "loose-right", About: "people who are right clap up to 50 ms apart", shape: func(w *warmup) {
		w.Group.Looseness = w.between(1.1, 1.5)
		w.Group.Habits.Even, w.Group.Habits.LostLooser = 1, 1
	}},
	{Name: "other-mistakes", About: "other mixes of mistakes, copied more or less", shape: func(w *warmup) {
		w.Group.Habits = people.Habits{
			Steepness: w.log(0.8, 1.9), Mistakes: w.rng.Uint64() | 1, Copying: w.between(-0.2, 0.7),
			LostLooser: w.between(1, 1.5), Slip: w.between(0, 0.03),
		}
	}},
	{Name: "long-phrases", About: "ten strokes and more at the group's level", shape: func(w *warmup) {
		long := slices.DeleteFunc(slices.Clone(w.bank), func(i Item) bool { return len(i.Phrase.Notes) < 10 })
		if len(long) > 0 {
			w.Group.Level = w.between(4, 7)
			w.drawAround(long, 8+w.rng.IntN(3), w.between(-0.5, 0.3), 0.8)
			w.drawTempos(0.05)
		}
	}},
	{Name: "short", About: "eight rounds", shape: func(w *warmup) {
		w.drawLadder(8, 1.7)
		w.drawTempos(0.1)
	}},
	{Name: "a-beat-late", About: "the group answers a beat behind", Hard: true, shape: func(w *warmup) {
		w.Group.Lag = 60 / w.Calls[0].Tempo
	}},
	{Name: "straggler", About: "now and then one person claps on after the answer", shape: func(w *warmup) {
		w.Flow.Seamless = false
		for i := range w.Calls {
			w.Calls[i].Straggler = i%3 == 1
		}
	}},
}

// aroundSessions run on, or begin before the warm-up does.
var aroundSessions = []Preset{
	{
		Name: "starts-early", About: "talk, applause, drumming or music before it", Hard: true,
		disturb: func(w *warmup) { w.Flow.Early = w.stretches() },
	},
	{
		Name: "runs-on-long", About: "drumming, talk, applause or music after it", Hard: true,
		disturb: func(w *warmup) { w.Flow.Late = w.stretches() },
	},
	{
		Name: "both-ends", About: "all that before and after it", Hard: true,
		disturb: func(w *warmup) { w.Flow.Early, w.Flow.Late = w.stretches(), w.stretches() },
	},
}

// aloneSessions have nobody to say anything about.
var aloneSessions = []Preset{
	{
		Name: "practising-alone", About: "one person claps phrases over and over",
		Mute: true, Tierless: true, shape: practisingAlone,
	},
	{
		Name: "self-answer", About: "one person calls and answers himself more softly",
		Mute: true, Tierless: true, shape: func(w *warmup) {
			w.Flow.Practice, w.Flow.After = 0, 0
			softer := w.between(3, 9)
			for i := range w.Calls {
				w.Calls[i].Answer, w.Calls[i].Softer = synth.Repeated, softer
			}
		},
	},
	{
		Name: "nobody-answers", About: "calls that nobody answers",
		Mute: true, Tierless: true, shape: func(w *warmup) {
			w.Flow.Practice, w.Flow.After = 0, 0
			for i := range w.Calls {
				w.Calls[i].Answer = synth.Nothing
			}
		},
	},
	{
		Name: "one-answers", About: "a single person answers", Tierless: true, shape: func(w *warmup) {
			w.Flow.Practice, w.Flow.After = 0, 0
			w.Group.People, w.Group.Near, w.Group.Far, w.Leader.LevelDB = 1, 1.2, 3, w.between(-2, 4)
		},
	},
}

// phoneSessions differ in what the recorder does.
var phoneSessions = []Preset{
	{
		Name: "limiter", About: "peaks 8 to 18 dB into a limiter", Hard: true,
		disturb: func(w *warmup) { w.Phone.LimitDB = w.between(8, 18) },
	},
	{
		Name: "slow-levelling", About: "gain that comes up over seconds", Hard: true,
		disturb: func(w *warmup) {
			l := &w.Phone.Levelling
			l.Attack, l.Release, l.LiftDB = w.between(0.05, 0.3), w.between(2, 5), w.between(15, 25)
		},
	},
	{
		Name: "strong-levelling", About: "gain that pumps with every stroke", Hard: true,
		disturb: func(w *warmup) {
			l := &w.Phone.Levelling
			l.Attack, l.Release = w.between(0.002, 0.01), w.between(0.1, 0.4)
			l.LiftDB = w.between(20, 30)
		},
	},
	{
		Name: "hard-clipped", About: "peaks 15 to 25 dB over full scale", Hard: true,
		disturb: func(w *warmup) { w.Phone.ClipDB = w.between(15, 25) },
	},
	{
		Name: "gated", About: "a noise gate 15 to 30 dB below the loudest", Hard: true,
		disturb: func(w *warmup) { w.Phone.GateDB = w.between(-30, -15) },
	},
	{
		Name: "narrow-band", About: "nothing above 3.4 kHz or below 300 Hz", Hard: true,
		disturb: func(w *warmup) { w.Phone.LowCut, w.Phone.HighCut = 300, 3400 },
	},
	{
		Name: "call-chain", About: "as through a telephone call: band, levelling, gate, codec", Hard: true,
		disturb: func(w *warmup) {
			w.Phone = acoustics.Phone{
				LowCut: 300, HighCut: 3400, LimitDB: 10,
				Levelling: acoustics.Levelling{Attack: 0.01, Release: 0.5, LiftDB: 18},
				GateDB:    -30, Coding: 0.5,
			}
		},
	},
	{
		Name: "pocket", About: "the phone is in a pocket or bag and rubs", Hard: true,
		disturb: func(w *warmup) {
			w.Phone.HighCut = w.between(1800, 3000)
			w.Background.Bumps, w.Background.BumpDB = 12, -8
		},
	},
	{
		Name: "moved", About: "somebody moves the phone away half way", Hard: true,
		disturb: func(w *warmup) { w.Phone.MovedDB = w.between(6, 14) },
	},
}

// happeningSessions have something go on that is not theirs.
var happeningSessions = []Preset{
	{
		Name: "ringing", About: "a telephone rings and a door slams", Hard: true,
		disturb: func(w *warmup) { w.Background.Rings, w.Background.Slams = 1, 3 },
	},
	{
		Name: "next-door", About: "another group with a drum behind the wall", Hard: true,
		disturb: func(w *warmup) { w.NextDoor = synth.NextDoor{Seed: w.Seed ^ 2, DB: w.between(-18, -10)} },
	},
}

// stretches are two or three things that go on for ten to forty seconds each, drumming among them.
func (w *warmup) stretches() []synth.Stretch {
	kinds := []synth.Kind{synth.Talking, synth.Applauding, synth.Playing}
	w.rng.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	kinds = slices.Insert(kinds[:1+w.rng.IntN(2)], w.rng.IntN(2), synth.Drumming)
	var out []synth.Stretch
	for _, kind := range kinds {
		seconds := w.between(10, 40)
		if kind == synth.Applauding {
			seconds = w.between(4, 9)
		}
		out = append(out, synth.Stretch{Kind: kind, Seconds: seconds})
	}
	return out
}

// leaveOut takes every n-th of the phrases called out of the listener's bank.
func (w *warmup) leaveOut(n int) {
	var seen []string
	for _, c := range w.Calls {
		if id := c.Phrase.ID; id != "" && !slices.Contains(seen, id) {
			seen = append(seen, id)
			if len(seen)%n == 0 {
				w.Outside = append(w.Outside, id)
			}
		}
	}
}

// practisingAlone is one person who claps each of some phrases several times, now and then wrong,
// with a short pause or none between, as for nobody.
func practisingAlone(w *warmup) {
	w.Flow = synth.Flow{CallPause: 1}
	calls := w.Calls
	w.Calls = nil
	for _, c := range calls[:min(len(calls), 6)] {
		c.Answer = synth.Onward
		for range 2 + w.rng.IntN(3) {
			once := c
			if p, ok := w.miscall(c.Phrase); ok && w.rng.Float64() < 0.25 {
				once.Phrase, once.Meant = p, c.Phrase.ID
			}
			once.Pause = w.between(0.02, 2)
			w.Calls = append(w.Calls, once)
		}
	}
}
