package engine

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view"
)

// sofar is what the page shows large: during listening, after every tap, at the end.
type sofar struct {
	Provisional bool     `json:"provisional"`
	Rounds      []round  `json:"rounds"`
	Usable      int      `json:"usable"`
	Tier        string   `json:"tier"`   // "Tier 3"; empty while nothing is stated
	Chance      string   `json:"chance"` // that it is this one
	More        string   `json:"more"`   // what else may be, or what is missing
	Next        *next    `json:"next"`
	Open        string   `json:"open"` // what to open with
	Warnings    []string `json:"warnings"`
	Report      string   `json:"report"` // the report's JSON, for the page to keep
}

type round struct {
	Name   string `json:"name"`
	Result string `json:"result"`
	Counts bool   `json:"counts"`
}

type next struct {
	phrase
	Why string `json:"why"`
}

func sofarOf(r *assess.Report) *sofar {
	s := &sofar{Rounds: []round{}, Warnings: []string{}}
	if r == nil {
		return s
	}
	s.Provisional, s.Usable = r.Provisional, r.Group.UsableRounds
	for _, x := range r.Rounds {
		s.Rounds = append(s.Rounds, round{shortName(x), view.RoundResult(x), x.Usable})
	}
	known := view.StandingOf(r.Group)
	s.Tier, s.Chance, s.More = known.Tier, known.Chance, known.More
	if n := r.NextCall; n != nil {
		s.Next = &next{phraseOf(n.Phrase, n.Name, n.Difficulty, n.Notation, n.Meter), view.Sentence(n.Why)}
	}
	for _, o := range r.Openers {
		if o.Role == plan.Main {
			s.Open = fmt.Sprintf("%s, %s", o.Name, view.Chance(o.Chance))
		}
	}
	for _, w := range r.Warnings {
		s.Warnings = append(s.Warnings, view.Sentence(w.Text))
	}
	return s
}

func tierName(tier int) string {
	if tier == 0 {
		return "Below tier 1"
	}
	return fmt.Sprintf("Tier %d", tier)
}

func lower(text string) string {
	b := []byte(text)
	if len(b) > 0 && b[0] >= 'A' && b[0] <= 'Z' {
		b[0] += 'a' - 'A'
	}
	return string(b)
}

// shortName names a round without the id, for which a phone has no room.
func shortName(r assess.Round) string {
	if r.Phrase == nil {
		return view.RoundName(r)
	}
	return strings.Replace(view.RoundName(r), " ("+*r.Phrase+")", "", 1)
}

// sofar adds what the page needs to keep the report.
func (e *Engine) sofar(r *assess.Report) *sofar {
	s := sofarOf(r)
	if text, err := json.Marshal(r); err == nil {
		s.Report = string(text)
	}
	return s
}

// titled is what a page of the report is about.
type titled struct {
	Title string `json:"title"`
}

// page is the last report as a page of its own.
func (e *Engine) page(t titled) (any, error) {
	if e.report == nil {
		return nil, &Problem{"there is no report yet", "listen, choose a recording, or tally by thumb"}
	}
	var page, text bytes.Buffer
	if err := view.HTML(&page, e.report, view.Page{Title: t.Title}); err != nil {
		return nil, err
	}
	if err := view.JSON(&text, e.report); err != nil {
		return nil, err
	}
	return map[string]string{"html": page.String(), "json": text.String()}, nil
}

// restore takes a report that the page kept, so that what was known before it was closed can be
// read again.
func (e *Engine) restore(n named) (any, error) {
	var r assess.Report
	if err := json.Unmarshal([]byte(n.Text), &r); err != nil || r.Schema != assess.Schema {
		return nil, &Problem{"the report that was kept can't be read", "score the warm-up again"}
	}
	e.report = &r
	return e.sofar(&r), nil
}
