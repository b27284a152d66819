// Package completion finds what may stand at the end of a command line that is being written, and
// writes the short scripts with which shells ask for it. The scripts hold no words of their own:
// they call the program, which knows the phrases, pieces and groups of its files.
package completion

import (
	"slices"
	"strings"

	"clapladder.example/cmd/clapladder/internal/grammar"
)

// Answer is what may stand at a place.
type Answer struct {
	Words []string // in order; all begin with what is written there
	Files bool     // files may stand there
}

// Look finds the words of a kind that an argument or a flag is of; flags are those written before,
// by name.
type Look func(kind string, flags map[string]string) []string

// At finds what may take the place of the last of the words that follow the program's name.
func At(program grammar.Command, words []string, look Look) Answer {
	if len(words) == 0 {
		words = []string{""}
	}
	last, before := words[len(words)-1], words[:len(words)-1]
	p := place{program: program, command: program, given: map[string]string{}}
	for _, word := range before {
		p.take(word)
	}
	if p.open != nil {
		return p.values(*p.open, "", last, look)
	}
	if name, value, found := strings.Cut(last, "="); found && strings.HasPrefix(name, "--") {
		if f, ok := p.flag(name); ok {
			return p.values(f, name+"=", value, look)
		}
	}
	return p.words(last, look)
}

// place is where in the grammar a command line has come to.
type place struct {
	program, command grammar.Command
	arguments        int           // words without a flag after the command
	open             *grammar.Flag // a flag that waits for its value
	given            map[string]string
}

func (p *place) take(word string) {
	switch {
	case p.open != nil:
		p.given[p.open.Name] = word
		p.open = nil
	case strings.HasPrefix(word, "-") && word != "-":
		name, value, found := strings.Cut(word, "=")
		f, ok := p.flag(name)
		switch {
		case !ok || f.Value == "":
		case found:
			p.given[f.Name] = value
		default:
			p.open = &f
		}
	default:
		for _, child := range p.command.Commands {
			if child.Name() == word {
				p.command = child
				return
			}
		}
		p.arguments++
	}
}

// flag finds a flag of the command or of the program by how it is written.
func (p *place) flag(written string) (grammar.Flag, bool) {
	for _, f := range p.flags() {
		if written == "--"+f.Name || f.Short != "" && written == "-"+f.Short {
			return f, true
		}
	}
	return grammar.Flag{}, false
}

func (p *place) flags() []grammar.Flag {
	if len(p.command.Path) == 1 {
		return p.command.Flags
	}
	return slices.Concat(p.command.Flags, p.program.Flags)
}

// values is what a flag may be given; before stands in front of every word.
func (p *place) values(f grammar.Flag, before, begun string, look Look) Answer {
	list := f.Values
	if f.Offer != "" {
		list = look(f.Offer, p.given)
	}
	if f.Many { // only the last of several is being written
		if comma := strings.LastIndexByte(begun, ','); comma >= 0 {
			before, begun = before+begun[:comma+1], begun[comma+1:]
		}
	}
	return Answer{Words: beginning(list, before, begun), Files: f.TakesFile()}
}

// words is what may stand where no flag waits for its value.
func (p *place) words(begun string, look Look) Answer {
	if strings.HasPrefix(begun, "-") {
		var list []string
		for _, f := range p.flags() {
			list = append(list, "--"+f.Name)
		}
		return Answer{Words: beginning(list, "", begun)}
	}
	if len(p.command.Commands) > 0 {
		var list []string
		for _, child := range p.command.Commands {
			list = append(list, child.Name())
		}
		return Answer{Words: beginning(list, "", begun)}
	}
	argument, ok := p.argument()
	switch {
	case !ok:
		return Answer{}
	case argument.Offer != "":
		return Answer{Words: beginning(look(argument.Offer, p.given), "", begun)}
	}
	return Answer{Files: true}
}

// argument is the one that the next word is for.
func (p *place) argument() (grammar.Argument, bool) {
	list := p.command.Arguments
	if p.arguments < len(list) {
		return list[p.arguments], true
	}
	if n := len(list); n > 0 && list[n-1].Many {
		return list[n-1], true
	}
	return grammar.Argument{}, false
}

// beginning keeps the words that go on as begun, whatever the case of the letters.
func beginning(list []string, before, begun string) []string {
	var out []string
	for _, word := range list {
		if len(word) >= len(begun) && strings.EqualFold(word[:len(begun)], begun) {
			out = append(out, before+word)
		}
	}
	return out
}
