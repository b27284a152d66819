package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/alecthomas/kong"

	"clapladder.example/cmd/clapladder/internal/commands/calls"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/cmd/clapladder/internal/terminal"
	"clapladder.example/rhythm/sound"
	"clapladder.example/rhythm/spoken"
)

// run is the program: it parses the command line, does what it says and returns the exit status.
// Nothing but the streams and the files named on the command line is touched.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer,
	env func(string) string,
) int {
	out := bufio.NewWriter(stdout)
	err := runCommand(ctx, args, stdin, stdout, out, stderr, env)
	if flushErr := out.Flush(); flushErr != nil {
		err = fmt.Errorf("writing the output: %w", flushErr)
	}
	if err == nil || errors.Is(err, errHelpShown) {
		return fault.ExitDone
	}
	report, status := fault.Explain(err)
	fmt.Fprint(stderr, report)
	return status
}

func runCommand(ctx context.Context, args []string, stdin io.Reader, stdout io.Writer,
	out *bufio.Writer, stderr io.Writer, env func(string) string,
) error {
	con := &console.Console{
		Ctx: ctx, Stdin: console.Interruptible(ctx, stdin), Stdout: out, Stderr: stderr, Env: env,
		Style: terminal.StyleOf(stdout, env),
		Asks:  terminal.IsTerminal(stdin) && terminal.IsTerminal(stdout),
	}
	con.LoadSettings()
	var commands cli
	parser, err := newParser(&commands, con.Comfort(), out, stderr)
	if err != nil {
		return err
	}
	con.Model = parser.Model
	switch {
	case len(args) == 0:
		args = []string{"--help"}
	case args[0] == "help":
		args = append(slices.Clone(args[1:]), "--help")
	}
	parsed, err := parser.Parse(naming.Escape(args))
	if err != nil {
		return commandLineError(err)
	}
	naming.Unescape(reflect.ValueOf(&commands))
	con.Quiet, con.Large = commands.Quiet, commands.Large
	con.Live = terminal.IsTerminal(stderr) && !commands.Quiet && env("TERM") != "dumb"
	err = parsed.Run(con)
	if usage, ok := errors.AsType[*fault.UsageError](err); ok && usage.Command == "" {
		usage.Command = parsed.Selected().Path()
	}
	return err
}

// newParser builds the command line. Output that was asked for goes to out.
func newParser(commands *cli, comfort string, out, stderr io.Writer) (*kong.Kong, error) {
	return kong.New(commands,
		kong.Name(naming.Program),
		kong.Description(description),
		kong.Writers(out, stderr),
		kong.NoDefaultHelp(),
		kong.ConfigureHelp(helpOptions),
		kong.ExplicitGroups(commandGroups),
		helptext.Use(helpTexts()...),
		kong.Vars{
			"comfort": comfort, "cardCalls": strconv.Itoa(calls.CardCalls),
			"systems": systemNames(), "settingNames": settingNames(),
			"mostRepeat": strconv.Itoa(sound.MaxRepeat), "mostPause": strconv.Itoa(sound.MaxPause),
		},
		kong.Exit(func(int) {}), // never taken: help is a flag of our own, and errors are returned
	)
}

func systemNames() string {
	var names []string
	for _, s := range spoken.Systems() {
		names = append(names, s.String())
	}
	return strings.Join(names, ", ")
}

// settingNames are the values that the parser allows.
func settingNames() string {
	var names []string
	for _, n := range settings.Names() {
		names = append(names, string(n))
	}
	return strings.Join(names, ",")
}

// commandLineError turns an error of the parser into one of ours.
func commandLineError(err error) error {
	if errors.Is(err, errHelpShown) {
		return err
	}
	parse, ok := errors.AsType[*kong.ParseError](err)
	if !ok {
		return err
	}
	if given, ok := errors.AsType[*fault.UsageError](err); ok {
		return given
	}
	e := &fault.UsageError{Message: plainUsage(err.Error())}
	if parse.Context == nil {
		return e
	}
	node := parse.Context.Selected()
	if node != nil {
		e.Command = node.Path()
	}
	if word, found := strings.CutPrefix(err.Error(), "unexpected argument "); found &&
		node != nil && len(node.Children) == 0 {
		e.Message = surplus(node, word)
	}
	return e
}

// parserWords are the parser's own words about values, which are a programmer's, and ours.
var parserWords = []struct {
	theirs *regexp.Regexp
	ours   string
}{
	{regexp.MustCompile(`^expected "<([a-z]+)>.*$`), "say which $1"},
	{regexp.MustCompile(`expected .* but got "EOL" \(<EOL>\)$`), "a value is missing"},
	{regexp.MustCompile(`expected .* but got (".*") \(string\)$`), "$1 is not a number"},
	{
		regexp.MustCompile(`^unexpected argument (.*), did you mean (.*)$`),
		`unknown command "$1"; did you mean $2`,
	},
	{regexp.MustCompile(`^unexpected argument (.*)$`), `unknown command "$1"`},
	{regexp.MustCompile(`^unknown flag (.*), did you mean`), "there is no flag $1; did you mean"},
	{regexp.MustCompile(`^unknown flag (.*)$`), "there is no flag $1"},
}

func plainUsage(message string) string {
	for _, words := range parserWords {
		message = words.theirs.ReplaceAllString(message, words.ours)
	}
	return message
}

// surplus says that a command takes fewer words than it was given.
func surplus(command *kong.Node, word string) string {
	word, _, _ = strings.Cut(word, ", did you mean")
	if len(command.Positional) == 0 {
		return fmt.Sprintf("%s takes no word of its own; %q is not used", command.Name, word)
	}
	last := command.Positional[len(command.Positional)-1]
	return fmt.Sprintf("one %s is enough here; %q is not used",
		strings.ToUpper(strings.ReplaceAll(last.Name, "-", " ")), word)
}
