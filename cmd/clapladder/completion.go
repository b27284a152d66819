package main

import (
	"clapladder.example/cmd/clapladder/internal/completion"
	"clapladder.example/cmd/clapladder/internal/grammar"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/cmd/internal/history"
)

type completionCommand struct {
	Shell string `arg:"" enum:"bash,zsh,fish,powershell" offer:"shell" help:"bash, zsh, fish or powershell."`
}

// Help is shown below the summary.
func (*completionCommand) Help() string {
	return `The first line of each script says where it belongs. Commands and flags are
completed, and phrases, pieces and groups of your files.

Examples:

    clapladder completion bash > clapladder.bash
    clapladder completion fish > ~/.config/fish/completions/clapladder.fish`
}

func (c *completionCommand) Run(a *app) error {
	a.out(completion.Script(c.Shell, name))
	return nil
}

// suggestCommand is what the scripts ask. Whatever goes wrong, it offers less instead of disturbing
// the line that somebody is writing.
type suggestCommand struct {
	Words []string `arg:"" optional:"" help:"The command line up to the word that is being written."`
}

func (c *suggestCommand) Run(a *app) error {
	a.quiet = true
	answer := completion.At(grammar.Of(a.model), c.Words, a.look)
	for _, word := range answer.Words {
		a.print(word)
	}
	if answer.Files {
		a.print(completion.FilesLine)
	}
	return nil
}

// look lists what a place on the command line may name.
func (a *app) look(kind string, flags map[string]string) []string {
	var out []string
	switch kind {
	case "shell":
		return completion.Shells()
	case "heard":
		return []string{"got", "partly", "lost"}
	case "setting":
		for _, n := range settings.Names() {
			out = append(out, string(n))
		}
	case "phrase", "verdict":
		bank, err := a.bank(flags["bank"])
		if err != nil {
			return nil
		}
		for _, e := range bank.Entries {
			if kind == "phrase" {
				out = append(out, e.ID)
				continue
			}
			out = append(out, e.ID+"=got", e.ID+"=partly", e.ID+"=lost")
		}
	case "piece", "tag":
		repertoire, err := a.repertoire(flags["repertoire"])
		if err != nil {
			return nil
		}
		seen := map[string]bool{}
		for _, p := range repertoire.Pieces {
			if kind == "piece" {
				out = append(out, p.ID)
				continue
			}
			for _, tag := range p.Tags {
				if !seen[tag] {
					seen[tag] = true
					out = append(out, tag)
				}
			}
		}
	case "group":
		_, records, err := logging{History: flags["history"]}.records(a)
		if err != nil {
			return nil
		}
		for _, g := range history.Groups(records) {
			out = append(out, g.Label)
		}
	}
	return out
}
