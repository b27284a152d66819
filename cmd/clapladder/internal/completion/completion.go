// Package completion writes scripts with which shells complete the command line.
package completion

import (
	"fmt"
	"slices"
	"strings"

	"clapladder.example/cmd/clapladder/internal/grammar"
)

// Shells lists the shells that have a script.
func Shells() []string { return []string{"bash", "zsh", "fish", "powershell"} }

// Script is the completion script of a shell for a program. It panics for a shell that is not among Shells.
func Script(shell string, program grammar.Command) string {
	switch shell {
	case "bash":
		return bash(program)
	case "zsh":
		return zsh(program)
	case "fish":
		return fish(program)
	case "powershell":
		return powershell(program)
	}
	panic("no completion script for " + shell)
}

// words lists what may follow a command: its commands, its flags and those of the program.
func words(program, c grammar.Command) []string {
	var out []string
	for _, child := range c.Commands {
		out = append(out, child.Name())
	}
	for _, f := range flags(program, c) {
		out = append(out, "--"+f.Name)
	}
	return out
}

// flags lists the flags of a command and of the program.
func flags(program, c grammar.Command) []grammar.Flag {
	if len(c.Path) == 1 {
		return c.Flags
	}
	return slices.Concat(c.Flags, program.Flags)
}

// subpath is the path below the program, with a separator.
func subpath(c grammar.Command, separator string) string { return strings.Join(c.Path[1:], separator) }

func bash(program grammar.Command) string {
	name := program.Name()
	var b strings.Builder
	fmt.Fprintf(&b, "# bash completion for %s; put it into ~/.local/share/bash-completion/completions/%s\n", name, name)
	fmt.Fprintf(&b, "_%s() {\n", name)
	b.WriteString("  local word=${COMP_WORDS[COMP_CWORD]} previous=${COMP_WORDS[COMP_CWORD-1]} path= i\n")
	b.WriteString("  for ((i = 1; i < COMP_CWORD; i++)); do\n    case \"$path ${COMP_WORDS[i]}\" in\n")
	for _, c := range program.All()[1:] {
		fmt.Fprintf(&b, "      %q) path=%q ;;\n", strings.TrimRight(" "+strings.Join(c.Path[1:len(c.Path)-1], "-"), " ")+" "+c.Name(), subpathKey(c))
	}
	b.WriteString("    esac\n  done\n  case $path:$previous in\n")
	for _, c := range program.All() {
		for _, f := range flags(program, c) {
			if len(f.Values) > 0 {
				fmt.Fprintf(&b, "    %q) COMPREPLY=($(compgen -W %q -- \"$word\")); return ;;\n", subpathKey(c)+":--"+f.Name, strings.Join(f.Values, " "))
			} else if f.Value != "" && !f.TakesFile() {
				fmt.Fprintf(&b, "    %q) return ;;\n", subpathKey(c)+":--"+f.Name)
			}
		}
	}
	b.WriteString("  esac\n  local words=\n  case $path in\n")
	for _, c := range program.All() {
		fmt.Fprintf(&b, "    %q) words=%q ;;\n", subpathKey(c), strings.Join(words(program, c), " "))
	}
	b.WriteString("  esac\n  COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n")
	fmt.Fprintf(&b, "}\ncomplete -o default -F _%s %s\n", name, name)
	return b.String()
}

// subpathKey is what the bash script keeps of a path: a space and the commands with dashes between; empty for the program.
func subpathKey(c grammar.Command) string {
	if len(c.Path) == 1 {
		return ""
	}
	return " " + subpath(c, "-")
}

func fish(program grammar.Command) string {
	name := program.Name()
	var b strings.Builder
	fmt.Fprintf(&b, "# fish completion for %s; put it into ~/.config/fish/completions/%s.fish\n", name, name)
	for _, f := range program.Flags {
		fishFlag(&b, name, "", f)
	}
	for _, c := range program.All()[1:] {
		parents, siblings := c.Path[1:len(c.Path)-1], siblingsOf(program, c)
		condition := "not __fish_seen_subcommand_from " + strings.Join(siblings, " ")
		if len(parents) > 0 {
			condition = "__fish_seen_subcommand_from " + parents[len(parents)-1] + "; and " + condition
		}
		fmt.Fprintf(&b, "complete -c %s -n %s -f -a %s -d %s\n", name, single(condition), c.Name(), single(c.Help))
	}
	for _, c := range program.All()[1:] {
		condition := "__fish_seen_subcommand_from " + c.Name()
		if len(c.Path) > 2 {
			condition = "__fish_seen_subcommand_from " + c.Path[len(c.Path)-2] + "; and " + condition
		}
		for _, f := range c.Flags {
			fishFlag(&b, name, condition, f)
		}
	}
	return b.String()
}

func fishFlag(b *strings.Builder, name, condition string, f grammar.Flag) {
	fmt.Fprintf(b, "complete -c %s", name)
	if condition != "" {
		fmt.Fprintf(b, " -n %s", single(condition))
	}
	fmt.Fprintf(b, " -l %s", f.Name)
	if f.Short != "" {
		fmt.Fprintf(b, " -s %s", f.Short)
	}
	switch {
	case len(f.Values) > 0:
		fmt.Fprintf(b, " -x -a %s", single(strings.Join(f.Values, " ")))
	case f.TakesFile():
		b.WriteString(" -r -F")
	case f.Value != "":
		b.WriteString(" -x")
	}
	fmt.Fprintf(b, " -d %s\n", single(short(f.Help)))
}

func siblingsOf(program, c grammar.Command) []string {
	parent := program
	for _, name := range c.Path[1 : len(c.Path)-1] {
		for _, child := range parent.Commands {
			if child.Name() == name {
				parent = child
			}
		}
	}
	var out []string
	for _, child := range parent.Commands {
		out = append(out, child.Name())
	}
	return out
}

func zsh(program grammar.Command) string {
	name := program.Name()
	var b strings.Builder
	fmt.Fprintf(&b, "#compdef %s\n# zsh completion for %s; put it as _%s into a folder of $fpath\n", name, name, name)
	for _, c := range program.All() {
		zshFunction(&b, program, c)
	}
	fmt.Fprintf(&b, "_%s \"$@\"\n", name)
	return b.String()
}

func zshFunction(b *strings.Builder, program, c grammar.Command) {
	fmt.Fprintf(b, "_%s() {\n", strings.Join(c.Path, "_"))
	b.WriteString("  local context state line\n  typeset -A opt_args\n  _arguments -C")
	for _, f := range flags(program, c) {
		fmt.Fprintf(b, " \\\n    %s", zshFlag(f))
	}
	if len(c.Commands) == 0 {
		if len(c.Arguments) > 0 {
			b.WriteString(" \\\n    '*:argument:_files'")
		}
		b.WriteString("\n}\n")
		return
	}
	b.WriteString(" \\\n    '1:command:->command' \\\n    '*::argument:->rest'\n  case $state in\n    command)\n      local -a commands=(\n")
	for _, child := range c.Commands {
		fmt.Fprintf(b, "        %s\n", single(child.Name()+":"+strings.ReplaceAll(child.Help, ":", "\\:")))
	}
	b.WriteString("      )\n      _describe command commands ;;\n    rest)\n      case $line[1] in\n")
	for _, child := range c.Commands {
		fmt.Fprintf(b, "        %s) _%s ;;\n", child.Name(), strings.Join(child.Path, "_"))
	}
	b.WriteString("      esac ;;\n  esac\n}\n")
}

// zshFlag is one flag in the form of _arguments.
func zshFlag(f grammar.Flag) string {
	help := strings.NewReplacer("[", "\\[", "]", "\\]", ":", "\\:").Replace(short(f.Help))
	value := ""
	switch {
	case len(f.Values) > 0:
		value = ":" + strings.ToLower(f.Value) + ":(" + strings.Join(f.Values, " ") + ")"
	case f.Value == "FOLDER":
		value = ":folder:_files -/"
	case f.Value == "FILE":
		value = ":file:_files"
	case f.Value != "":
		value = ":" + strings.ToLower(f.Value) + ": "
	}
	equals := ""
	if value != "" {
		equals = "="
	}
	spec := single("--" + f.Name + equals + "[" + help + "]" + value)
	if f.Short != "" {
		spec += " \\\n    " + single("-"+f.Short+"["+help+"]"+value)
	}
	return spec
}

// powershell offers the values of a flag that has few, and what may follow the command otherwise; where it offers nothing, after a
// flag that takes a file for one, the shell completes files.
func powershell(program grammar.Command) string {
	name := program.Name()
	var b strings.Builder
	fmt.Fprintf(&b, "# PowerShell completion for %s; add it to $PROFILE\n", name)
	fmt.Fprintf(&b, "Register-ArgumentCompleter -Native -CommandName '%s' -ScriptBlock {\n", name)
	b.WriteString("  param($word, $line, $cursor)\n  $words = @{\n")
	for _, c := range program.All() {
		fmt.Fprintf(&b, "    '%s' = @(%s)\n", subpath(c, " "), powershellList(words(program, c)))
	}
	b.WriteString("  }\n  $values = @{\n")
	for _, c := range program.All() {
		for _, f := range flags(program, c) {
			if f.Value != "" {
				fmt.Fprintf(&b, "    '%s --%s' = @(%s)\n", subpath(c, " "), f.Name, powershellList(f.Values))
			}
		}
	}
	b.WriteString("  }\n  $path = ''\n  $before = ''\n" +
		"  foreach ($e in $line.CommandElements | Select-Object -Skip 1) {\n" +
		"    if ($e.Extent.EndOffset -ge $cursor) { break }\n" + // the word that is being written
		"    $before = $e.ToString()\n" +
		"    $next = \"$path $before\".Trim()\n" +
		"    if ($words.ContainsKey($next)) { $path = $next }\n  }\n" +
		"  $list = $words[$path]\n" +
		"  if ($values.ContainsKey(\"$path $before\")) { $list = $values[\"$path $before\"] }\n" +
		"  $list | Where-Object { $_.StartsWith($word, 'OrdinalIgnoreCase') } | ForEach-Object {\n" +
		"    [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_)\n  }\n}\n")
	return b.String()
}

func powershellList(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = "'" + strings.ReplaceAll(w, "'", "''") + "'"
	}
	return strings.Join(quoted, ", ")
}

// single quotes text for a shell.
func single(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

// short is the first sentence of a help text.
func short(help string) string {
	if i := strings.Index(help, ". "); i >= 0 {
		help = help[:i]
	}
	return strings.TrimSuffix(help, ".")
}
