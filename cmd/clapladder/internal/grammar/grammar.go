// Package grammar is the command line as plain data, for those who write it down: completion
// scripts and manual pages.
package grammar

import (
	"slices"
	"strings"

	"github.com/alecthomas/kong"
)

// Command is the program or one of its commands.
type Command struct {
	Path      []string // the program's name and those of the commands down to this one
	Help      string   // one line
	Detail    string   // paragraphs; lines that begin with four spaces are to be kept as they are
	Arguments []Argument
	Flags     []Flag // its own; those of the program are common to all commands
	Commands  []Command
}

// Argument is a word without a flag.
type Argument struct {
	Name     string // in capitals
	Help     string
	Optional bool
	Many     bool
	Offer    string // what completion offers: "phrase", "piece", "group" …; empty for files
}

// Flag is an option.
type Flag struct {
	Name   string // without dashes
	Short  string // one letter without dash; may be empty
	Help   string
	Value  string   // what stands for the value; empty for a switch
	Values []string // that may be given, where they are few
	Many   bool     // several values with commas between
	Offer  string   // what completion offers, as for an argument
}

// Of reads the grammar of a parsed model.
func Of(model *kong.Application) Command {
	return commandOf(model.Node, []string{model.Name})
}

func commandOf(node *kong.Node, path []string) Command {
	c := Command{Path: slices.Clone(path), Help: node.Help, Detail: node.Detail}
	for _, p := range node.Positional {
		c.Arguments = append(c.Arguments, Argument{
			Name: strings.ToUpper(strings.ReplaceAll(p.Name, "-", " ")), Help: p.Help,
			Optional: !p.Required, Many: p.IsCumulative(), Offer: p.Tag.Get("offer"),
		})
	}
	for _, f := range node.Flags {
		if !f.Hidden {
			c.Flags = append(c.Flags, flagOf(f))
		}
	}
	for _, child := range node.Children {
		if !child.Hidden {
			c.Commands = append(c.Commands, commandOf(child, append(path, child.Name)))
		}
	}
	return c
}

func flagOf(f *kong.Flag) Flag {
	out := Flag{Name: f.Name, Help: f.Help, Many: f.IsCumulative(), Offer: f.Tag.Get("offer")}
	if f.Short != 0 {
		out.Short = string(f.Short)
	}
	if !f.IsBool() {
		out.Value = f.PlaceHolder
		if out.Value == "" {
			out.Value = strings.ToUpper(f.Name)
		}
	}
	if f.Enum != "" {
		out.Values = f.EnumSlice()
	}
	return out
}

// Name is the last word of the path.
func (c Command) Name() string { return c.Path[len(c.Path)-1] }

// All lists the command and everything below it, in order.
func (c Command) All() []Command {
	out := []Command{c}
	for _, child := range c.Commands {
		out = append(out, child.All()...)
	}
	return out
}

// TakesFile reports whether a flag's value is a file or a folder.
func (f Flag) TakesFile() bool { return f.Value == "FILE" || f.Value == "FOLDER" }
