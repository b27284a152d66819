package listen

import (
	"bufio"
	"errors"
	"fmt"
	"slices"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns/bank"
)

// mostCalls is as many as the history keeps of a warm-up, which has some dozen.
const mostCalls = 1000

const askHelp = "Write a call and how it went, such as: gangway got   (got, partly or lost; " +
	"first letters are enough)\n" +
	"list shows what you wrote, undo takes the last one back, next says what to call, an empty line ends.\n"

// conversation asks somebody at a terminal for verdicts one by one, and says after each what to
// call next.
type conversation struct {
	a        *console.Console
	bank     *bank.Bank
	next     func([]assess.Verdict) string // what to call next, in words; may be nil
	verdicts []assess.Verdict
}

func (c *conversation) say(format string, args ...any) { fmt.Fprintf(c.a.Stderr, format, args...) }

// take does what a line says; it reports whether the conversation goes on.
func (c *conversation) take(line string) bool {
	words := strings.FieldsFunc(line, separates)
	switch {
	case line == "":
		return false
	case line == "?" || line == "help":
		c.say("%s", askHelp)
	case line == "list":
		c.list()
	case line == "undo":
		c.undo()
	case line == "next":
		c.sayNext()
	case len(words) == 1:
		c.say("  how did %s go? write: %s got, %s partly or %s lost\n", words[0], words[0],
			words[0], words[0])
	default:
		c.add(words)
	}
	return true
}

func (c *conversation) add(words []string) {
	id, err := begun(c.bank, words[0])
	if err == nil {
		var v assess.Verdict
		if v, err = parseVerdict(id+"="+strings.Join(words[1:], " "), c.bank); err == nil {
			c.verdicts = append(c.verdicts, v)
			c.say("  %d  %s %s\n", len(c.verdicts), v.Phrase, v.Heard)
			c.sayNext()
			return
		}
	}
	c.say("  %v\n", err)
}

func (c *conversation) undo() {
	if len(c.verdicts) == 0 {
		c.say("  there is nothing to take back\n")
		return
	}
	last := c.verdicts[len(c.verdicts)-1]
	c.verdicts = c.verdicts[:len(c.verdicts)-1]
	c.say("  took back: %s %s\n", last.Phrase, last.Heard)
}

func (c *conversation) list() {
	if len(c.verdicts) == 0 {
		c.say("  nothing yet\n")
	}
	for i, v := range c.verdicts {
		c.say("  %d  %s %s\n", i+1, v.Phrase, v.Heard)
	}
}

func (c *conversation) sayNext() {
	if c.next == nil {
		return
	}
	if text := c.next(c.verdicts); text != "" {
		c.say("  %s\n", text)
	}
}

// begun finds the one phrase whose ID is, or begins with, what was written.
func begun(called *bank.Bank, written string) (string, error) {
	if _, ok := called.Find(written); ok {
		return written, nil
	}
	var found []string
	for _, e := range called.Entries {
		if strings.HasPrefix(strings.ToLower(e.ID), strings.ToLower(written)) {
			found = append(found, e.ID)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 8:
		found = append(found[:8], "…")
	case len(found) == 0:
		_, err := console.FindEntry(called, written)
		return "", err
	}
	return "", fault.Usage("%q may be %s", written, strings.Join(found, ", "))
}

// ask holds a conversation at a terminal; from a pipe it reads one call a line without asking.
func ask(con *console.Console, bank *bank.Bank, next func([]assess.Verdict) string,
) ([]assess.Verdict, error) {
	c := conversation{a: con, bank: bank, next: next}
	lines := bufio.NewScanner(con.Stdin) // a line has at most 64 KiB
	prompt := func() {
		if con.Asks {
			c.say("> ")
		}
	}
	if con.Asks {
		c.say("%s", askHelp)
	}
	number := 0
	for prompt(); lines.Scan(); prompt() {
		if err := con.Ctx.Err(); err != nil {
			return nil, err
		}
		number++
		if len(c.verdicts) == mostCalls {
			return nil, fault.BadInput(naming.StandardInput,
				"there are more than %d calls; write down one warm-up at a time", mostCalls)
		}
		line := strings.TrimSpace(lines.Text())
		if con.Asks {
			if !c.take(line) {
				break
			}
			continue
		}
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		v, err := parseVerdict(strings.Join(strings.FieldsFunc(line, separates), "="), bank)
		if err != nil {
			return nil, fault.BadInput(naming.StandardInput, "line %d: %v", number, err)
		}
		c.verdicts = append(c.verdicts, v)
	}
	if err := lines.Err(); errors.Is(err, bufio.ErrTooLong) {
		return nil, fault.BadInput(naming.StandardInput,
			"line %d is endless; write one call a line, such as: gangway got", number+1)
	} else if err != nil {
		return nil, fault.Input(naming.StandardInput, fault.Plain(err))
	}
	if len(c.verdicts) == 0 {
		return nil, fault.Usage("say what you heard, such as row=got")
	}
	return slices.Clip(c.verdicts), nil
}

func separates(r rune) bool { return r == '=' || r == ' ' || r == '\t' || r == ',' || r == ';' }

// nextWords is what to call after some verdicts.
func (s scoring) nextWords(verdicts []assess.Verdict) string {
	report, err := assess.Tally(verdicts, s.bank, s.options)
	if err != nil {
		return ""
	}
	text := ""
	if report.Group.Tier != nil {
		text = fmt.Sprintf("tier %d so far. ", *report.Group.Tier)
	}
	if report.NextCall == nil {
		return text + "that is enough, if you like"
	}
	n := report.NextCall
	return fmt.Sprintf("%snext, if you like: %s, %s", text, n.Phrase, n.Notation)
}
