package engine

import (
	"bytes"
	"errors"
	"regexp"
	"slices"
	"strings"

	"clapladder.example/patterns/bank"
)

// mine is the leader's own files as the page keeps them; empty where there are none.
type mine struct {
	Bank       string `json:"bank"`
	Repertoire string `json:"repertoire"`
}

// file is what was found in one file.
type file struct {
	Kind     string         `json:"kind"` // bank, repertoire or log
	Starter  bool           `json:"starter,omitempty"`
	Count    int            `json:"count"`
	Problems []bank.Problem `json:"problems"`
	Remarks  []bank.Problem `json:"remarks"`
}

// open takes the leader's files; a file with problems, or none, leaves the starter in its place.
func (e *Engine) open(m mine) (any, error) {
	b, r := bank.Starter(), bank.StarterRepertoire()
	banked := file{Kind: "bank", Starter: true, Count: len(b.Entries)}
	pieces := file{Kind: "repertoire", Starter: true, Count: len(r.Pieces)}
	if m.Bank != "" {
		own, found := readBank("bank", m.Bank)
		if banked = found; own != nil {
			b = own
		}
	}
	if m.Repertoire != "" {
		own, found := readRepertoire("repertoire", m.Repertoire)
		if pieces = found; own != nil {
			r = own
		}
	}
	e.use(b, r)
	return map[string]any{"bank": banked, "repertoire": pieces, "tags": tagsOf(r)}, nil
}

func tagsOf(r *bank.Repertoire) []string {
	tags := []string{}
	for _, p := range r.Pieces {
		for _, t := range p.Tags {
			if t = strings.ToLower(t); !slices.Contains(tags, t) {
				tags = append(tags, t)
			}
		}
	}
	slices.Sort(tags)
	return tags
}

// named is a file that was chosen.
type named struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// pieceLine is what only repertoires have: a table of pieces, or a column for roles.
var pieceLine = regexp.MustCompile(`(?im)^[ \t]*\[+ *piece\b|^.*[,;\t]"?role"?\s*([,;\t]|$)`)

// checkFile says what a file is and what is to be put right in it.
func (e *Engine) checkFile(n named) (any, error) {
	data := []byte(n.Text)
	switch {
	case bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")):
		return checkLog(n)
	case pieceLine.Match(data):
		_, found := readRepertoire(n.Name, n.Text)
		return found, nil
	}
	_, found := readBank(n.Name, n.Text)
	return found, nil
}

func readBank(name, text string) (*bank.Bank, file) {
	b, err := bank.Load(name, []byte(text))
	if err != nil {
		return nil, file{Kind: "bank", Problems: problemsOf(err)}
	}
	return b, file{Kind: "bank", Count: len(b.Entries), Remarks: b.Remarks}
}

func readRepertoire(name, text string) (*bank.Repertoire, file) {
	r, err := bank.LoadRepertoire(name, []byte(text))
	if err != nil {
		return nil, file{Kind: "repertoire", Problems: problemsOf(err)}
	}
	return r, file{Kind: "repertoire", Count: len(r.Pieces), Remarks: r.Remarks}
}

func problemsOf(err error) []bank.Problem {
	if e, ok := errors.AsType[*bank.FileError](err); ok {
		return e.Problems
	}
	return []bank.Problem{{Message: err.Error()}}
}

// starter is the text of a file that comes with the program, to begin one's own from.
func (e *Engine) starter(n named) (any, error) {
	if n.Name == "repertoire" {
		return string(bank.StarterRepertoireText()), nil
	}
	return string(bank.StarterText()), nil
}
