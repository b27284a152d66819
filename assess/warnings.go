package assess

import (
	"fmt"
	"slices"

	"clapladder.example/assess/internal/exchange"
	"clapladder.example/assess/internal/words"
)

func (r *Report) warn(code, text string) {
	r.Warnings = append(r.Warnings, Warning{Code: code, Text: text})
}

// warnRounds says what the kind of rounds leaves open.
func (r *Report) warnRounds() {
	answered := 0
	for _, round := range r.Rounds {
		if round.Response != nil || round.Heard != "" {
			answered++
		}
	}
	switch {
	case slices.ContainsFunc(r.Warnings, func(w Warning) bool { return w.Code == noExchange }):
	case len(r.Rounds) == 0:
		r.warn("no-rounds", "No call with an answer was heard: either nobody clapped, or the "+
			"phone was too far away. Record a few calls with answers, the first on plain beats.")
	case answered == 0:
		r.warn("no-answers", fmt.Sprintf("Calls were heard (%d) but no answer. Nothing can be "+
			"said about the group.", len(r.Rounds)))
	}
	doubtful := 0
	for _, round := range r.Rounds {
		if round.Response != nil && round.Confidence < leastConfidence {
			doubtful++
		}
	}
	if doubtful > 0 {
		r.warn("doubtful-rounds", fmt.Sprintf("%s could not be told for sure and does not count.",
			words.Count(doubtful, "round")))
	}
}

// warnInstead says what the recording sounds like instead of call and response.
func (r *Report) warnInstead(sound exchange.Sound) {
	if sound == exchange.TooFew {
		r.warn(noExchange, "There are too few rounds to tell whether this is call and response, "+
			"so no answer is claimed. "+
			"Call at least four phrases and let the group answer each.")
		return
	}
	r.warn(noExchange, "This does not sound like call and response: "+instead[sound]+
		". No answer is claimed and no tier stated. If a group did answer, put the phone nearer to it "+
		"and call at least four phrases.")
}

const noExchange = "no-exchange"

// instead puts kinds of sound into words.
var instead = map[exchange.Sound]string{
	exchange.Little: "there is hardly a stroke in it",
	exchange.OnePerson: "it sounds like one source of single strokes, as when one person claps, " +
		"knocks or plays alone",
	exchange.Ticking: "something ticks or beeps steadily",
	exchange.Knocking: "it is single sharp sounds, such as knocks, hammering, typing, steps or one " +
		"person's claps",
	exchange.Speech: "it is mostly speech",
	exchange.Music:  "it sounds like music or drums",
	exchange.Noise:  "it is mostly noise, such as rain, an engine or applause",
	exchange.Other:  "what there is does not go back and forth between a leader and a group",
}

// warnHeard says what the sound leaves open.
func (r *Report) warnHeard(heard []heardRound) {
	answered, along, outside, named := 0, 0, 0, 0
	sure, solo := true, false
	for _, h := range heard {
		switch {
		case h.Attempt > 1:
		case h.entry == nil:
			outside++
		default:
			named++
		}
		if h.Result == nil {
			continue
		}
		answered++
		sure, solo = sure && h.Sure, solo || h.Solo
		if h.Along {
			along++
		}
	}
	if answered > 0 && !sure {
		r.warn("no-full-group", "No phrase was easy enough to know what the whole group sounds "+
			"like, so shares are relative. Begin with four plain beats next time.")
	}
	if solo {
		r.warn("one-person", "The answers are one person's: every note counts as clapped or not, "+
			"and what is said here is said about that person, so no tier is stated. Ask them "+
			"before you keep or show it.")
	}
	if outside > 0 && named > 0 {
		r.warn("not-in-bank", fmt.Sprintf("%s not in the bank and written down as clapped. Add "+
			"what you will call again.", words.Count(outside, "call")+wereOrWas(outside)))
	}
	if along > 0 {
		r.warn("leader-along", fmt.Sprintf("The leader seems to clap along with the answer in "+
			"%s; participation there is less certain.", words.Count(along, "round")))
	}
}

func wereOrWas(n int) string {
	if n == 1 {
		return " was"
	}
	return " were"
}
