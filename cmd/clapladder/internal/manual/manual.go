// Package manual writes manual pages in the man macros of roff.
package manual

import (
	"fmt"
	"strings"

	"clapladder.example/cmd/clapladder/internal/grammar"
)

// Section is a part of the program's page besides what its grammar says.
type Section struct {
	Title string
	Terms [][2]string // what, and what it means; a term without a name is a paragraph
}

// Page is the manual page of the program or of a command. source is the name and version of the
// program; sections stand at the end of the program's page.
func Page(program, c grammar.Command, source string, sections []Section) string {
	var b strings.Builder
	title := strings.ToUpper(strings.Join(c.Path, "-"))
	fmt.Fprintf(&b, ".TH %s 1 \"\" %s \"User Commands\"\n", quoted(title), quoted(source))
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", escape(strings.Join(c.Path, "-")),
		escape(firstLower(firstSentence(c.Help))))
	b.WriteString(".SH SYNOPSIS\n")
	synopsis(&b, c)
	b.WriteString(".SH DESCRIPTION\n")
	paragraphs(&b, c.Help)
	detail, examples := splitExamples(c.Detail)
	if detail != "" {
		b.WriteString(".PP\n")
		paragraphs(&b, detail)
	}
	if len(c.Arguments) > 0 {
		b.WriteString(".SH ARGUMENTS\n")
		for _, a := range c.Arguments {
			fmt.Fprintf(&b, ".TP\n.I %s\n%s\n", escape(a.Name), escape(a.Help))
		}
	}
	options(&b, program, c)
	commands(&b, c)
	if examples != "" {
		b.WriteString(".SH EXAMPLES\n.EX\n" + escapeLines(examples) + ".EE\n")
	}
	if len(c.Path) == 1 {
		for _, s := range sections {
			section(&b, s)
		}
	} else {
		b.WriteString(".SH SEE ALSO\n")
		fmt.Fprintf(&b, ".BR %s (1)\n", escape(program.Name()))
	}
	return b.String()
}

func synopsis(b *strings.Builder, c grammar.Command) {
	fmt.Fprintf(b, ".B %s\n", escape(strings.Join(c.Path, " ")))
	if len(c.Commands) > 0 {
		b.WriteString(".I COMMAND\n")
	}
	b.WriteString("[\\fIOPTIONS\\fR]\n")
	for _, a := range c.Arguments {
		text := "\\fI" + escape(a.Name) + "\\fR"
		if a.Many {
			text += " ..."
		}
		if a.Optional {
			text = "[" + text + "]"
		}
		b.WriteString(text + "\n")
	}
}

func options(b *strings.Builder, program, c grammar.Command) {
	list := c.Flags
	if len(c.Path) > 1 {
		list = append(list[:len(list):len(list)], program.Flags...)
	}
	if len(list) == 0 {
		return
	}
	b.WriteString(".SH OPTIONS\n")
	for _, f := range list {
		b.WriteString(".TP\n")
		name := "\\fB\\-\\-" + escape(f.Name) + "\\fR"
		if f.Short != "" {
			name = "\\fB\\-" + escape(f.Short) + "\\fR, " + name
		}
		if f.Value != "" {
			name += "=\\fI" + escape(f.Value) + "\\fR"
			if f.Many {
				name += "[,\\fI" + escape(f.Value) + "\\fR ...]"
			}
		}
		fmt.Fprintf(b, "%s\n%s\n", name, escape(f.Help))
	}
}

func commands(b *strings.Builder, c grammar.Command) {
	if len(c.Commands) == 0 {
		return
	}
	b.WriteString(".SH COMMANDS\n")
	for _, child := range c.Commands {
		fmt.Fprintf(b, ".TP\n.BR %s (1)\n%s\n", escape(strings.Join(child.Path, "-")), escape(child.Help))
	}
}

func section(b *strings.Builder, s Section) {
	fmt.Fprintf(b, ".SH %s\n", escape(strings.ToUpper(s.Title)))
	for i, t := range s.Terms {
		if t[0] == "" {
			if i > 0 {
				b.WriteString(".PP\n")
			}
			b.WriteString(escape(t[1]) + "\n")
		} else {
			fmt.Fprintf(b, ".TP\n.B %s\n%s\n", escape(t[0]), escape(t[1]))
		}
	}
}

// paragraphs writes text with empty lines between paragraphs.
func paragraphs(b *strings.Builder, text string) {
	for i, p := range strings.Split(strings.TrimSpace(text), "\n\n") {
		if i > 0 {
			b.WriteString(".PP\n")
		}
		b.WriteString(escape(strings.Join(strings.Fields(p), " ")) + "\n")
	}
}

// splitExamples takes the examples off a detailed help text.
func splitExamples(detail string) (text, examples string) {
	text, examples, found := strings.Cut(detail, "Examples:")
	if !found {
		return detail, ""
	}
	var b strings.Builder
	for line := range strings.Lines(strings.Trim(examples, "\n")) {
		b.WriteString(strings.TrimPrefix(strings.TrimRight(line, "\n"), "    ") + "\n")
	}
	return strings.TrimSpace(text), b.String()
}

// roff gives characters that it would take for itself their own names.
var roff = strings.NewReplacer(`\`, `\e`, "-", `\-`, "'", `\(aq`, "`", `\(ga`,
	"^", `\(ha`, "~", `\(ti`, "…", "...", "’", `\(cq`, "–", `\(en`)

// escape makes one line of text safe: nothing in it is a macro.
func escape(text string) string {
	text = roff.Replace(strings.Join(strings.Fields(text), " "))
	if strings.HasPrefix(text, ".") {
		text = `\&` + text
	}
	return text
}

func escapeLines(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		line = roff.Replace(strings.TrimRight(line, "\n"))
		if strings.HasPrefix(line, ".") {
			line = `\&` + line
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

func quoted(text string) string {
	return `"` + strings.ReplaceAll(escape(text), `"`, `\(dq`) + `"`
}

func firstSentence(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if i := strings.Index(text, ". "); i >= 0 {
		text = text[:i]
	}
	return strings.TrimSuffix(text, ".")
}

func firstLower(text string) string {
	if text == "" {
		return text
	}
	return strings.ToLower(text[:1]) + text[1:]
}
