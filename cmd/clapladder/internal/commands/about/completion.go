package about

import (
	"clapladder.example/cmd/clapladder/internal/completion"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/grammar"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/cmd/internal/history"
)

// Completion is the command that writes a script for a shell.
type Completion struct {
	Shell string `arg:"" enum:"bash,zsh,fish,powershell" offer:"shell" help:"bash, zsh, fish or powershell."`
}

// Help is shown below the summary.
func (*Completion) Help() string {
	return `The first line of each script says where it belongs. Commands and flags are
completed, and phrases, pieces and groups of your files.

Examples:

    clapladder completion bash > clapladder.bash
    clapladder completion fish > ~/.config/fish/completions/clapladder.fish`
}

func (c *Completion) Run(con *console.Console) error {
	con.Out(completion.Script(c.Shell, naming.Program))
	return nil
}

// Suggest is what the scripts ask. Whatever goes wrong, it offers less instead of disturbing
// the line that somebody is writing.
type Suggest struct {
	Words []string `arg:"" optional:"" help:"The command line up to the word that is being written."`
}

func (c *Suggest) Run(con *console.Console) error {
	con.Quiet = true
	known := func(kind string, flags map[string]string) []string { return look(con, kind, flags) }
	answer := completion.At(grammar.Of(con.Model), c.Words, known)
	for _, word := range answer.Words {
		con.Print(word)
	}
	if answer.Files {
		con.Print(completion.FilesLine)
	}
	return nil
}

// look lists what a place on the command line may name.
func look(con *console.Console, kind string, flags map[string]string) []string {
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
		bank, err := con.Bank(flags["bank"])
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
		repertoire, err := con.Repertoire(flags["repertoire"])
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
		_, records, err := (&logbook.Log{History: flags["history"]}).Records(con)
		if err != nil {
			return nil
		}
		for _, g := range history.Groups(records) {
			out = append(out, g.Label)
		}
	}
	return out
}
