package engine

import (
	"fmt"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/assess/plan"
	"clapladder.example/rhythm"
)

// heard is a warm-up without sound.
type heard struct {
	Calls []struct {
		Phrase string `json:"phrase"`
		Heard  string `json:"heard"` // got, partly or lost
	} `json:"calls"`
	People int `json:"people"`
}

// tally reports on what the leader heard so far and says what to call next; before the first call
// that is the first of a card.
func (e *Engine) tally(h heard) (any, error) {
	if len(h.Calls) == 0 {
		first := sofarOf(&assess.Report{})
		if call, ok := e.first(); ok {
			first.Next = &next{
				newPhrase(call.ID, call.Name, call.Difficulty, call.Phrase),
				"Plain beats first, so that everybody is in.",
			}
		}
		return first, nil
	}
	verdicts := make([]assess.Verdict, len(h.Calls))
	for i, c := range h.Calls {
		word, err := verdictOf(c.Heard)
		if err != nil {
			return nil, err
		}
		verdicts[i] = assess.Verdict{Phrase: c.Phrase, Heard: word}
	}
	return e.finished(assess.Tally(verdicts, e.bank, e.options(h.People)))
}

func verdictOf(word string) (ability.Verdict, error) {
	for _, v := range []ability.Verdict{ability.Got, ability.Partly, ability.Lost} {
		if v.String() == word {
			return v, nil
		}
	}
	return ability.NoVerdict, &Problem{fmt.Sprintf("%q is no answer", word), "use got, partly or lost"}
}

// first is the phrase to begin with: plain beats, or the easiest where the bank has none.
func (e *Engine) first() (gradedPhrase, bool) {
	var best gradedPhrase
	for i, g := range e.graded {
		plain, wasPlain := plainBeats(g.Phrase), plainBeats(best.Phrase)
		if i == 0 || plain && !wasPlain || plain == wasPlain && g.Difficulty < best.Difficulty {
			best = g
		}
	}
	return best, len(e.graded) > 0
}

// plainBeats reports whether a phrase is one stroke on every beat.
func plainBeats(p rhythm.Phrase) bool {
	text := p.String()
	return text != "" && strings.Trim(text, "xX |") == "" && !strings.Contains(strings.ToLower(text), "xx")
}

// card is the warm-up to follow by ear.
func (e *Engine) card(struct{}) (any, error) {
	c, err := plan.NewCard(e.graded, plan.CardOptions{Model: e.model})
	if err != nil {
		return nil, &Problem{Message: err.Error(), Advice: "give the bank more phrases"}
	}
	type step struct {
		phrase
		Place string `json:"place"`
		Got   string `json:"got"`
		Lost  string `json:"lost"`
	}
	type end struct {
		Place  string `json:"place"`
		Tier   string `json:"tier"`
		Number int    `json:"number"`
	}
	out := struct {
		Opening []phrase `json:"opening"`
		Branch  []step   `json:"branch"`
		Closing []phrase `json:"closing"`
		Ends    []end    `json:"ends"`
		Remarks []string `json:"remarks"`
	}{Remarks: c.Remarks}
	of := func(x plan.CardCall) phrase { return newPhrase(x.Phrase, x.Name, x.Difficulty, x.Rhythm) }
	for _, x := range c.Opening {
		out.Opening = append(out.Opening, of(x))
	}
	for _, x := range c.Branch {
		out.Branch = append(out.Branch, step{of(x.CardCall), x.Place, x.Got, x.Lost})
	}
	for _, x := range c.Closing {
		out.Closing = append(out.Closing, of(x))
	}
	for _, x := range c.Ends {
		out.Ends = append(out.Ends, end{x.Place, tierName(x.Tier), x.Tier})
	}
	return out, nil
}
