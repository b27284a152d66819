package engine

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// checkLog says what a log holds.
func checkLog(n named) (any, error) {
	c, err := history.ReadFrom(context.Background(), strings.NewReader(n.Text))
	if err != nil {
		return nil, &Problem{Message: err.Error()}
	}
	found := file{Kind: "log", Count: len(c.Records)}
	for _, p := range c.Problems {
		found.Remarks = append(found.Remarks, problemInLog(p))
	}
	if len(c.Records) == 0 && len(c.Problems) > 0 {
		found.Problems, found.Remarks = found.Remarks, nil
	}
	return found, nil
}

func problemInLog(p history.Problem) bank.Problem { return bank.Problem{Line: p.Line, Message: p.Text} }

// kept is the log as the page keeps it.
type kept struct {
	Log   string `json:"log"`
	Group string `json:"group"`
}

// group is a line of the list of groups.
type group struct {
	Label string `json:"label"`
	Text  string `json:"text"`
}

// trend lists the groups of a log or, where one is named, says how it moves.
func (e *Engine) trend(k kept) (any, error) {
	c, err := history.ReadFrom(context.Background(), strings.NewReader(k.Log))
	if err != nil {
		return nil, err
	}
	if k.Group == "" {
		groups := []group{}
		for _, g := range history.Groups(c.Records) {
			text := fmt.Sprintf("%s, last %s", view.Count(g.WarmUps, "warm-up"),
				g.Last.Format("2 January 2006"))
			groups = append(groups, group{g.Label, text})
		}
		return map[string]any{"groups": groups, "problems": len(c.Problems)}, nil
	}
	t, err := history.NewTrend(c.Records, k.Group, history.NewScale(difficulty.DefaultModel(), e.bank))
	if err != nil {
		return nil, err
	}
	out := map[string]any{"text": view.Sentence(t.Text), "notes": notesOf(c, k.Group)}
	if len(t.Points) > 0 {
		points := make([]view.LevelPoint, len(t.Points))
		for i, p := range t.Points {
			points[i] = view.LevelPoint{Date: p.Date, Level: p.Level, Low: p.Low, High: p.High}
		}
		var svg bytes.Buffer
		if err := view.TrendSVG(&svg, k.Group, points, pictureWidth); err != nil {
			return nil, err
		}
		out["picture"] = svg.String()
	}
	return out, nil
}

// notesOf is what was noted of a group, and how its openers went.
func notesOf(c *history.Contents, group string) []string {
	notes := []string{}
	for _, o := range c.Outcomes {
		if history.SameGroup(o.Group, group) {
			notes = append(notes, fmt.Sprintf("%s: %s, %s", o.Date.Format("2 January 2006"),
				o.Piece, o.Heard))
		}
	}
	for _, n := range c.Notes {
		if history.SameGroup(n.Group, group) {
			notes = append(notes, n.Date.Format("2 January 2006")+": "+n.Text)
		}
	}
	return notes
}

// wish is what is to be written into the log.
type wish struct {
	Kind   string   `json:"kind"` // "warm-up", "note" or "outcome"
	Group  string   `json:"group"`
	Date   string   `json:"date"` // RFC 3339, with the zone of the place
	People int      `json:"people"`
	Text   string   `json:"text"`
	Piece  string   `json:"piece"`
	Heard  string   `json:"heard"`
	Chance *float64 `json:"chance"`
}

// record makes the line that the log gets; the page keeps it.
func (e *Engine) record(w wish) (any, error) {
	at, err := time.Parse(time.RFC3339, w.Date)
	if err != nil {
		return nil, &Problem{"the date can't be read", "choose it again"}
	}
	var line []byte
	switch w.Kind {
	case "note":
		line, err = history.Note{Group: w.Group, Date: at, Text: w.Text}.Encode()
	case "outcome":
		line, err = history.Outcome{
			Group: w.Group, Date: at, Heard: w.Heard, Opener: history.Opener{
				Piece:  w.Piece,
				Chance: w.Chance,
			},
		}.Encode()
	default:
		if e.report == nil {
			return nil, &Problem{"there is no warm-up to keep", "listen first, or tally one by thumb"}
		}
		line, err = history.FromReport(e.report, history.About{
			Group: w.Group, Date: at,
			People: w.People,
		}).Encode()
	}
	if err != nil {
		return nil, &Problem{Message: err.Error()}
	}
	why, _ := history.LooksLikeName(w.Group)
	return map[string]string{"line": string(bytes.TrimRight(line, "\n")), "doubt": why}, nil
}

// lines says which lines of a log are about a group, by place from 0, so that the page can forget
// them.
func (e *Engine) lines(k kept) (any, error) {
	places := []int{}
	for i, line := range strings.Split(k.Log, "\n") {
		var about struct {
			Group string `json:"group"`
		}
		if json.Unmarshal([]byte(line), &about) == nil && history.SameGroup(about.Group, k.Group) {
			places = append(places, i)
		}
	}
	return places, nil
}
