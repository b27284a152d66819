// Package engine is what the phone page asks: commands by name, JSON in and JSON out. It wires the
// library together for one page as cmd/clapladder does for a terminal, and knows nothing of a
// browser, so that its tests run anywhere.
package engine

import (
	"encoding/json"
	"errors"
	"fmt"

	"clapladder.example/assess"
	"clapladder.example/assess/audio"
	"clapladder.example/assess/plan"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// Engine holds what one page works with. It is not safe for concurrent use.
type Engine struct {
	tool       string
	bank       *bank.Bank
	repertoire *bank.Repertoire
	graded     []patterns.Graded
	model      *difficulty.Model

	report   *assess.Report // the last one that was finished
	listener *assess.Listener
	check    *levelCheck
}

// New begins with the starter files. tool is the name and version that reports carry.
func New(tool string) *Engine {
	e := &Engine{tool: tool}
	e.use(bank.Starter(), bank.StarterRepertoire())
	return e
}

func (e *Engine) use(b *bank.Bank, r *bank.Repertoire) {
	e.bank, e.repertoire = b, r
	e.graded = patterns.GradeBank(difficulty.DefaultModel(), b)
	e.model = patterns.Anchor(difficulty.DefaultModel(), b)
}

// Problem is what the page shows where something can't be done: one plain sentence and what to do.
type Problem struct {
	Message string `json:"message"`
	Advice  string `json:"advice,omitempty"`
}

// Error is one line.
func (p *Problem) Error() string {
	if p.Advice == "" {
		return p.Message
	}
	return p.Message + "; " + p.Advice
}

// problemOf makes any error one for the page.
func problemOf(err error) *Problem {
	if p, ok := errors.AsType[*Problem](err); ok {
		return p
	}
	if e, ok := errors.AsType[*audio.Error](err); ok {
		return &Problem{e.Message, e.Advice}
	}
	if e, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return &Problem{Message: e.Error()}
	}
	return &Problem{Message: err.Error()}
}

// answer is what every command comes back as.
type answer struct {
	OK    any      `json:"ok,omitempty"`
	Wrong *Problem `json:"wrong,omitempty"`
}

func encode(value any, err error) string {
	a := answer{OK: value}
	if err != nil {
		a = answer{Wrong: problemOf(err)}
	}
	text, err := json.Marshal(a)
	if err != nil {
		return `{"wrong":{"message":"the answer can't be written"}}`
	}
	return string(text)
}

// commands by the name that the page uses.
var commands = map[string]func(e *Engine, args json.RawMessage) (any, error){
	"open":    with((*Engine).open),
	"check":   with((*Engine).checkFile),
	"starter": with((*Engine).starter),
	"phrases": with((*Engine).phrases),
	"level":   with((*Engine).startCheck),
	"listen":  with((*Engine).listen),
	"stop":    with((*Engine).stop),
	"tally":   with((*Engine).tally),
	"pieces":  with((*Engine).pieces),
	"card":    with((*Engine).card),
	"page":    with((*Engine).page),
	"restore": with((*Engine).restore),
	"record":  with((*Engine).record),
	"trend":   with((*Engine).trend),
	"lines":   with((*Engine).lines),
	"names":   with((*Engine).names),
	"care":    with((*Engine).care),
}

// with gives a command its arguments.
func with[T any](run func(*Engine, T) (any, error)) func(*Engine, json.RawMessage) (any, error) {
	return func(e *Engine, raw json.RawMessage) (any, error) {
		var args T
		if len(raw) > 0 {
			if err := json.Unmarshal(raw, &args); err != nil {
				return nil, fmt.Errorf("reading the question: %w", err)
			}
		}
		return run(e, args)
	}
}

// Ask carries out a command and returns {"ok": …} or {"wrong": {"message", "advice"}}.
func (e *Engine) Ask(name, args string) string {
	run, ok := commands[name]
	if !ok {
		return encode(nil, &Problem{Message: fmt.Sprintf("there is no command %q", name)})
	}
	return encode(run(e, json.RawMessage(args)))
}

func (e *Engine) options(people int) assess.Options {
	return assess.Options{
		Repertoire: e.repertoire, People: people, Tool: e.tool, Audio: audio.Options{FFmpeg: audio.NoFFmpeg},
	}
}
