package assess

import (
	"context"
	"slices"

	"clapladder.example/assess/internal/exchange"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
)

// aroundRounds are the seconds around a stretch that are listened to again without the rest: at
// first enough for a round that was missed there, then no more than belongs to the rounds.
var aroundRounds = [...]float64{12, 4}

const (
	leftLeast    = 10.0 // seconds that are worth a word
	besideRounds = 2.0  // seconds that belong to a stretch on either side
)

// findRounds finds the rounds of the recording's call and response and says how likely it holds
// any. A recording that runs on into drumming or talk is listened to again without that; the
// analysis returned is what is left.
func (r *Report) findRounds(
	ctx context.Context, all *onset.Analysis, templates []rounds.Template, o rounds.Options,
) (*onset.Analysis, []rounds.Round, error) {
	a := all
	found, err := rounds.Find(ctx, a, templates, o)
	if err != nil {
		return nil, nil, err
	}
	judged := exchange.Judge(a, found)
	if namesCall(o.Marks, templates) {
		r.Recording.Exchange = pointer(rounded(max(judged.Probability, 0.5), 3))
		return a, found, nil
	}
	narrowed := false
	for _, around := range aroundRounds {
		if !judged.Believed() || !narrowed && !judged.Disturbed(a, found) {
			break
		}
		part := all.Within(judged.Spans(around, all.Envelope.Seconds()))
		again, err := rounds.Find(ctx, part, templates, o)
		if err != nil {
			return nil, nil, err
		}
		verdict := exchange.Judge(part, again)
		if !verdict.Believed() {
			break
		}
		a, found, judged, narrowed = part, again, verdict, true
	}
	r.Recording.Exchange = pointer(rounded(judged.Probability, 3))
	seconds := all.Envelope.Seconds()
	if narrowed {
		spans := judged.Spans(besideRounds, seconds)
		for _, s := range exchange.Outside(spans, seconds, leftLeast) {
			left := LeftOut{rounded(s.Start, 1), rounded(s.End, 1), NoExchange}
			r.Recording.LeftOut = append(r.Recording.LeftOut, left)
		}
	}
	switch {
	case judged.TooFew():
		r.withoutExchange(exchange.TooFew, found)
	case !judged.Believed():
		r.withoutExchange(exchange.Kind(all), found)
	}
	return a, judged.Keep(found), nil
}

// namesCall reports whether a person marked a call: then it is call and response because they say
// so.
func namesCall(marks []rounds.Mark, templates []rounds.Template) bool {
	return slices.ContainsFunc(marks, func(m rounds.Mark) bool {
		return slices.ContainsFunc(templates, func(t rounds.Template) bool { return t.ID == m.Label })
	})
}

// withoutExchange says what the recording sounds like instead of call and response.
func (r *Report) withoutExchange(sound exchange.Sound, found []rounds.Round) {
	r.Recording.Heard = string(sound)
	if !slices.ContainsFunc(found, func(x rounds.Round) bool { return x.Answer != nil }) {
		return // no-rounds or no-answers will say so
	}
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
	exchange.Little:    "there is hardly a stroke in it",
	exchange.OnePerson: "one person seems to clap or play alone",
	exchange.Ticking:   "something ticks or beeps steadily",
	exchange.Knocking:  "it sounds like typing, knocking or steps",
	exchange.Speech:    "it is mostly speech",
	exchange.Music:     "it sounds like music or drums",
	exchange.Noise:     "it is mostly noise, such as rain, an engine or applause",
	exchange.Other:     "what there is does not go back and forth between a leader and a group",
}

// sayNothingOfOne takes the rounds out of use where one person answers: they are listed, but no
// tier is stated of a person.
func (r *Report) sayNothingOfOne() {
	for i := range r.Rounds {
		r.Rounds[i].Usable, r.Rounds[i].ShareSD = false, nil
	}
}
