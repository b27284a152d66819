package synth

import (
	"math"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// What fills the time around the rounds of a plan.

// pause moves on to a call that is not the first, with praise where the leader talks.
func (p *plan) pause(c Call, flow Flow) {
	length := c.Pause
	switch {
	case length > 0:
	case flow.Seamless:
		return
	default:
		length = flow.CallPause * signal.Between(p.rng, 0.6, 1.4)
	}
	if flow.Praise && length > 1.2 {
		p.truth.Talk = append(p.truth.Talk,
			signal.Span{Start: rounded(p.now + 0.25), End: rounded(p.now + length - 0.3)})
	}
	p.now += length
}

// countIn plays one bar before a call.
func (p *plan) countIn(phrase people.Phrase, perBeat float64) {
	span := signal.Span{Start: rounded(p.now), End: rounded(p.now + phrase.Bar*perBeat)}
	p.truth.CountIns = append(p.truth.CountIns, span)
	for _, beat := range phrase.Beats() {
		if beat >= phrase.Bar-1e-9 {
			break
		}
		at := p.now + beat*perBeat
		if p.scene.Flow.CountIn == Clicks {
			p.leaderStroke(at, sounds.Sticks, false, Counting, -1)
		} else {
			p.spoken = append(p.spoken, at)
		}
	}
	p.now += phrase.Bar * perBeat
}

// talk lets the leader speak.
func (p *plan) talk(seconds float64) {
	if seconds <= 0 {
		return
	}
	p.truth.Talk = append(p.truth.Talk, signal.Span{Start: rounded(p.now), End: rounded(p.now + seconds)})
	p.now += seconds + signal.Between(p.rng, 0.3, 0.9)
}

// practise lets people clap on their own, each a few loops at a tempo of their own.
func (p *plan) practise(seconds float64) {
	if seconds <= 0 {
		return
	}
	start, end := p.now, p.now+seconds
	p.truth.Practice = append(p.truth.Practice, signal.Span{Start: rounded(start), End: rounded(end)})
	for i, who := range p.people {
		if p.rng.Float64() < 0.5 {
			continue
		}
		loops := 1 + p.rng.IntN(1+int(seconds/6))
		for range loops {
			at := signal.Between(p.rng, start, end)
			beat := signal.Between(p.rng, 0.3, 0.8)
			for n := 3 + p.rng.IntN(10); n > 0 && at < end; n-- {
				p.add(Stroke{
					Time: at, Person: i + 1, LevelDB: rounded(-3 + 3*p.rng.NormFloat64()),
					Role: Trying, Round: -1,
				})
				step := beat
				if p.rng.Float64() < 0.3 {
					step /= 2
				}
				at += step + who.Jitter*signal.Clamp(p.rng.NormFloat64(), -3, 3)
			}
		}
	}
	p.now = end + signal.Between(p.rng, 0.3, 0.9)
}

// groove lets everybody play on together, the leader too, each a pattern of a bar that changes now
// and then.
func (p *plan) groove(seconds float64) {
	if seconds <= 0 {
		return
	}
	start, end := p.now+signal.Between(p.rng, 0.5, 2), p.now+seconds
	p.truth.Practice = append(p.truth.Practice, signal.Span{Start: rounded(start), End: rounded(end)})
	beat := signal.Between(p.rng, 0.48, 0.7)
	for i := -1; i < len(p.people); i++ {
		jitter := p.scene.Leader.Jitter
		if i >= 0 {
			jitter = p.people[i].Jitter
		}
		pattern := groovePatterns[p.rng.IntN(len(groovePatterns))]
		for bar := 0; start+float64(4*bar)*beat < end; bar++ {
			if p.rng.IntN(12) == 0 {
				pattern = groovePatterns[p.rng.IntN(len(groovePatterns))]
			}
			for _, at := range pattern {
				time := start + (float64(4*bar)+at)*beat + jitter*signal.Clamp(p.rng.NormFloat64(), -3, 3)
				switch {
				case time >= end || p.rng.IntN(10) == 0:
				case i < 0:
					p.leaderStroke(time, p.scene.Leader.Sound, false, Trying, -1)
				default:
					p.add(Stroke{
						Time: time, Person: i + 1,
						LevelDB: rounded(2 * p.rng.NormFloat64()), Role: Trying, Round: -1,
					})
				}
			}
		}
	}
	p.now = end + signal.Between(p.rng, 0.3, 0.9)
}

// groovePatterns are places in a bar of four, in beats.
var groovePatterns = [][]float64{
	{0, 1, 2, 3}, {0, 2}, {1, 3}, {0, 1, 1.5, 2, 3, 3.5}, {1, 2, 3.5}, {0, 1.5, 3}, {0.5, 1.5, 2.5, 3.5},
}

// findQuiet lists the spans without strokes. A stroke is over when its room has died away by 45 dB.
func (p *plan) findQuiet() {
	from := 0.0
	add := func(to float64) {
		if to-from >= 0.5 {
			p.truth.Quiet = append(p.truth.Quiet, signal.Span{Start: rounded(from), End: rounded(to)})
		}
	}
	for _, s := range p.truth.Strokes {
		add(s.Time - 0.02)
		from = s.Time + 0.1 + 0.75*p.scene.Room.RT60
	}
	add(p.truth.Duration)
}

func meanSD(x []float64) (mean, sd float64) {
	if len(x) == 0 {
		return 0, 0
	}
	for _, v := range x {
		mean += v
	}
	mean /= float64(len(x))
	if len(x) < 2 {
		return mean, 0
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(sd / float64(len(x)-1))
}
