package synth

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// accentDB is how much louder an accent is. Common practice, no source.
const accentDB = 4.0

// learning is how many tiers easier a phrase gets each time it is tried again. A guess.
const learning = 0.4

// leadIn and leadOut are the seconds between pressing record and the first event, and at the end.
const (
	leadIn  = 0.7
	leadOut = 0.8
)

// plan is everything about a recording except its sound.
type plan struct {
	scene   Scene
	people  []people.Person
	truth   Truth
	spoken  []float64       // times of syllables of counted-in bars
	phrases []people.Phrase // called, by round
	answers []*answer       // by round, nil where nobody claps
	luck    map[string][]float64
	tried   map[string]int // attempts so far by phrase
	rng     *rand.Rand
	now     float64
}

// answer is what is needed to measure a response.
type answer struct {
	called   people.Phrase
	clock    float64          // time of bar 1 on the group's own pulse, before habits and air
	perBeat  float64          // seconds
	attempts []people.Attempt // by person
}

// makePlan lays out the whole recording. The scene must have its defaults.
func makePlan(s Scene) *plan {
	p := &plan{
		scene: s, people: people.Draw(s.Group, signal.Stream(s.Seed, "people")),
		luck: map[string][]float64{}, tried: map[string]int{},
		rng: signal.Stream(s.Seed, "plan"), now: leadIn + 0.6*signal.Stream(s.Seed, "start").Float64(),
	}
	p.truth = Truth{
		Class: s.Class, Seed: s.Seed, Rate: s.Rate, People: s.Group.People, Mix: s.Group.Mix,
		Levels: make([]float64, len(p.people)), Steepness: s.Group.Habits.Steepness,
	}
	for i, who := range p.people {
		p.truth.Levels[i] = rounded(who.Level)
	}
	p.truth.Level, p.truth.LevelSD = meanSD(p.truth.Levels)

	p.truth.Outside = s.Outside
	p.around(s.Flow.Early, "early")
	p.practise(s.Flow.Practice)
	p.talk(s.Flow.TalkBefore)
	for i, c := range s.Calls {
		p.play(i, c)
	}
	p.talk(s.Flow.TalkAfter)
	p.practise(s.Flow.After)
	p.groove(s.Flow.Groove)
	p.around(s.Flow.Late, "late")
	p.keepPulse(s.Pulse)
	p.movePhone(s.Phone)
	p.listWords(s.Words)

	slices.SortStableFunc(p.truth.Strokes, func(a, b Stroke) int {
		return cmp.Or(cmp.Compare(a.Time, b.Time), cmp.Compare(a.Person, b.Person))
	})
	end := p.now
	if n := len(p.truth.Strokes); n > 0 {
		end = math.Max(end, p.truth.Strokes[n-1].Time+0.3)
	}
	p.truth.Duration = p.onSample(end + 0.5*s.Room.RT60 + leadOut)
	p.findQuiet()
	return p
}

// play lays out one call with its answers.
func (p *plan) play(index int, c Call) {
	flow := p.scene.Flow
	phrase := c.Phrase
	tempo := cmp.Or(c.Tempo, phrase.Tempo)
	perBeat := 60 / tempo

	counted := flow.CountIn != NoCountIn && (index == 0 || flow.CountEach && !flow.Seamless)
	if index > 0 {
		p.pause(c, flow)
	}
	if counted {
		p.countIn(phrase, perBeat)
	}

	call := Played{Start: p.now, End: p.now + phrase.Length*perBeat, Tempo: tempo}
	round := len(p.truth.Rounds)
	for _, n := range phrase.Notes {
		sound := p.scene.Leader.Sound
		if sound == sounds.Clap {
			sound = n.Sound
		}
		at := p.leaderStroke(call.Start+n.Beat*perBeat, sound, n.Accent, InCall, round)
		call.Notes = append(call.Notes, at)
	}
	p.now = call.End

	key := phrase.ID
	if key == "" {
		key = "call " + strconv.Itoa(index)
	}
	for k := range max(c.Attempts, 1) {
		p.tried[key]++
		r := Round{
			Phrase: p.listed(phrase.ID), Meant: c.Meant, Metre: phrase.Metre,
			Difficulty: rounded(c.Difficulty),
			Attempt:    p.tried[key], Recalled: k == 0, Call: call,
		}
		r.Call.Start, r.Call.End, r.Call.Tempo = rounded(call.Start), rounded(call.End), rounded(call.Tempo)
		p.truth.Rounds, p.phrases = append(p.truth.Rounds, r), append(p.phrases, phrase)
		p.answers = append(p.answers, p.answer(c, key, perBeat))
		p.talkOver(round + k)
		p.straggle(round+k, c)
	}
	p.applaud(c.Applause)
}

// answer lays out one answer of the group and moves on to its end.
func (p *plan) answer(c Call, key string, perBeat float64) *answer {
	g := p.scene.Group
	due := p.now + p.scene.Flow.AnswerPause
	lag := g.Lag + g.LagSD*signal.Clamp(p.rng.NormFloat64(), -2.5, 2.5)
	rush := signal.Clamp(g.Rush+g.RushSD*signal.Clamp(p.rng.NormFloat64(), -2.5, 2.5), 0.7, 1.4)
	if c.Rush != 0 {
		rush = c.Rush
	}
	round := len(p.truth.Rounds) - 1
	if c.Answer == Onward {
		return nil
	}
	if c.Answer == Nothing {
		p.now = due + c.Phrase.Length*perBeat
		return nil
	}
	if c.Answer == Repeated {
		for _, n := range c.Phrase.Notes {
			sound := p.scene.Leader.Sound
			if sound == sounds.Clap {
				sound = n.Sound
			}
			p.leaderStrokeAt(due+n.Beat*perBeat, sound, n.Accent, -c.Softer, InCall, round)
		}
		p.now = due + c.Phrase.Length*perBeat
		return nil
	}
	phrase := c.Phrase
	if c.Answer == Different {
		phrase = c.Instead
	}
	a := &answer{called: c.Phrase, clock: due + lag, perBeat: perBeat / rush}
	difficulty := c.Difficulty - learning*float64(p.tried[key]-1)
	shared := people.DrawCommon(difficulty-g.Level, g.Habits, p.rng)
	luck := p.luckOf(key)
	for i, who := range p.people {
		did := people.Try(phrase, who, difficulty, luck[i], shared, p.rng)
		if c.Answer == Different {
			did.Got = false
		}
		a.attempts = append(a.attempts, did)
		p.clap(i, did, a, round)
	}
	if p.scene.Leader.ClapsAlong {
		for _, n := range phrase.Notes {
			sound := p.scene.Leader.Sound
			if sound == sounds.Clap {
				sound = n.Sound
			}
			p.leaderStroke(a.clock+n.Beat*a.perBeat, sound, n.Accent, Along, round)
		}
	}
	p.truth.Rounds[round].Response = &Response{
		Answered: p.listed(phrase.ID), Due: rounded(due), Tempo: rounded(60 / a.perBeat),
		TempoRatio: rounded(rush),
	}
	p.now = a.clock + phrase.Length*a.perBeat
	return a
}

// clap adds the strokes of one person's attempt. Half of the variance of the timing belongs to the
// whole answer.
func (p *plan) clap(i int, did people.Attempt, a *answer, round int) {
	who := p.people[i]
	jitter := who.Jitter * signal.Clamp(a.perBeat/people.JitterBeat, 0.7, 1.5)
	if !did.Got {
		jitter *= cmp.Or(who.Habits.LostLooser, 1.3)
	}
	whole := jitter * math.Sqrt(0.4) * p.rng.NormFloat64()
	last := math.Inf(-1)
	for _, s := range did.Strokes {
		single := jitter * math.Sqrt(0.6) * signal.Clamp(p.rng.NormFloat64(), -3, 3)
		level := who.Variation * signal.Clamp(p.rng.NormFloat64(), -2.5, 2.5)
		at := a.clock + s.Beat*a.perBeat + who.Habit + whole + single + who.Delay()
		at = math.Max(at, last+0.07) // nobody claps twice in less
		last = at
		if s.Accent {
			level += accentDB
		}
		p.add(Stroke{
			Time: at, Person: i + 1, Sound: s.Sound, Accent: s.Accent, LevelDB: rounded(level),
			Role: InAnswer, Round: round,
		})
	}
}

// leaderStroke adds a stroke of the leader and returns its time.
func (p *plan) leaderStroke(at float64, sound sounds.Kind, accent bool, role Role, round int) float64 {
	return p.leaderStrokeAt(at, sound, accent, 0, role, round)
}

// leaderStrokeAt is leaderStroke at a level, dB.
func (p *plan) leaderStrokeAt(at float64, sound sounds.Kind, accent bool, db float64, role Role,
	round int,
) float64 {
	leader := p.scene.Leader
	at += leader.Jitter*signal.Clamp(p.rng.NormFloat64(), -2.5, 2.5) + leader.Distance/signal.SoundSpeed
	level := db + 1.5*signal.Clamp(p.rng.NormFloat64(), -2, 2)
	if accent {
		level += accentDB
	}
	return p.add(Stroke{
		Time: at, Sound: sound, Accent: accent, LevelDB: rounded(level), Role: role,
		Round: round,
	})
}

// add puts a stroke on a sample of the recording and returns its time.
func (p *plan) add(s Stroke) float64 {
	s.Time = p.onSample(math.Max(s.Time, 0))
	p.truth.Strokes = append(p.truth.Strokes, s)
	return s.Time
}

// onSample moves a time to the nearest sample.
func (p *plan) onSample(t float64) float64 {
	return math.Round(t*float64(p.scene.Rate)) / float64(p.scene.Rate)
}

// luckOf returns everybody's luck with a phrase; it stays the same when the phrase comes again,
// because people who lost it by a hair are the ones who get it next.
func (p *plan) luckOf(key string) []float64 {
	if p.luck[key] == nil {
		luck := make([]float64, len(p.people))
		for i := range luck {
			luck[i] = p.rng.Float64()
		}
		p.luck[key] = luck
	}
	return p.luck[key]
}
