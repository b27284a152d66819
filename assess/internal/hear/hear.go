// Package hear runs the steps of the hearing on one recording: which rounds it holds, whether they
// are call and response at all, and what came back in each. What is made of it for people and for
// the estimate is package assess's.
package hear

import (
	"context"
	"slices"

	"clapladder.example/assess/internal/exchange"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
)

// Exchange is the call and response of a recording.
type Exchange struct {
	Probability float64 // that the recording holds any, 0 to 1
	// Instead is what it sounds like where it is not taken for call and response; empty otherwise.
	Instead exchange.Sound
	// Claimed says that answers were found and are not claimed, because of Instead.
	Claimed bool
	LeftOut []onset.Span // seconds of the recording without call and response, by time

	Rounds   []rounds.Round  // by time
	Analysis *onset.Analysis // what is left of the recording
}

// aroundRounds are the seconds around a stretch that are listened to again without the rest: at
// first enough for a round that was missed there, then no more than belongs to the rounds.
var aroundRounds = [...]float64{12, 4}

const (
	leftLeast    = 10.0 // seconds that are worth a word
	besideRounds = 2.0  // seconds that belong to a stretch on either side
)

// Find finds the rounds of a recording's call and response. Echoes of a wall are taken out first,
// and so is a kept pulse, which does not make an exchange likelier: that is judged with it. A
// recording that runs on into drumming or talk is listened to again without that. The error is
// ctx's.
func Find(
	ctx context.Context, all *onset.Analysis, templates []rounds.Template, o rounds.Options,
) (Exchange, error) {
	all = all.WithoutEchoes()
	clear, found, err := Rounds(ctx, all, templates, o)
	if err != nil {
		return Exchange{}, err
	}
	judged := exchange.Judge(all, found)
	if namesCall(o.Marks, templates) {
		return Exchange{Probability: max(judged.Probability, 0.5), Rounds: found, Analysis: clear}, nil
	}
	out := Exchange{Analysis: clear}
	narrowed := false
	for _, around := range aroundRounds {
		if !judged.Believed() || !narrowed && !judged.Disturbed(all, found) {
			break
		}
		spans := judged.Spans(around, all.Envelope.Seconds())
		part := clear.Within(spans)
		again, err := rounds.Find(ctx, part, templates, o)
		if err != nil {
			return Exchange{}, err
		}
		with := part
		if clear != all {
			with = all.Within(spans)
		}
		verdict := exchange.Judge(with, again)
		if !verdict.Believed() {
			break
		}
		out.Analysis, found, judged, narrowed = part, again, verdict, true
	}
	out.Probability = judged.Probability
	if narrowed {
		seconds := all.Envelope.Seconds()
		out.LeftOut = exchange.Outside(judged.Spans(besideRounds, seconds), seconds, leftLeast)
	}
	switch {
	case judged.TooFew():
		out.Instead = exchange.TooFew
	case !judged.Believed():
		out.Instead = exchange.Kind(all)
	}
	out.Claimed = out.Instead != "" &&
		slices.ContainsFunc(found, func(r rounds.Round) bool { return r.Answer != nil })
	out.Rounds = judged.Keep(found)
	return out, nil
}

// namesCall reports whether a person marked a call: then it is call and response because they say
// so.
func namesCall(marks []rounds.Mark, templates []rounds.Template) bool {
	return slices.ContainsFunc(marks, func(m rounds.Mark) bool {
		return slices.ContainsFunc(templates, func(t rounds.Template) bool { return t.ID == m.Label })
	})
}
