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

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/cmd/clapladder/internal/terminal"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/sound"
	"clapladder.example/rhythm/spoken"
)

// Exit statuses.
const (
	exitDone   = 0
	exitFailed = 1 // the work could not be finished
	exitUsage  = 2 // wrong command line
	exitInput  = 3 // a file that can't be used
)

const name = "clapladder"

// app is what commands work with.
type app struct {
	ctx    context.Context
	stdin  io.Reader
	stdout *bufio.Writer // flushed by run
	stderr io.Writer
	env    func(string) string
	style  view.Style // of stdout
	errors view.Style // of stderr
	model  *kong.Application
	live   bool // progress may be shown on stderr
	quiet  bool
	large  bool // files may be beyond the usual limits
	asks   bool // a person sits at stdin and stdout

	log readOnce

	settings     settings.Settings
	settingsPath string // empty where that can't be known
	settingsErr  error  // why there are none
}

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
		return exitDone
	}
	report, status := explain(err)
	fmt.Fprint(stderr, report)
	return status
}

func runCommand(ctx context.Context, args []string, stdin io.Reader, stdout io.Writer,
	out *bufio.Writer, stderr io.Writer, env func(string) string,
) error {
	a := &app{
		ctx: ctx, stdin: &interruptible{ctx: ctx, r: stdin}, stdout: out, stderr: stderr, env: env,
		style: terminal.StyleOf(stdout, env), errors: terminal.StyleOf(stderr, env),
		asks: terminal.IsTerminal(stdin) && terminal.IsTerminal(stdout),
	}
	a.loadSettings()
	var commands cli
	parser, err := newParser(&commands, a.comfort(), out, stderr)
	if err != nil {
		return err
	}
	a.model = parser.Model
	switch {
	case len(args) == 0:
		args = []string{"--help"}
	case args[0] == "help":
		args = append(slices.Clone(args[1:]), "--help")
	}
	parsed, err := parser.Parse(escapeBytes(args))
	if err != nil {
		return commandLineError(err)
	}
	unescapeBytes(reflect.ValueOf(&commands))
	a.quiet, a.large = commands.Quiet, commands.Large
	a.live = terminal.IsTerminal(stderr) && !commands.Quiet && env("TERM") != "dumb"
	err = parsed.Run(a)
	if usage, ok := errors.AsType[*usageError](err); ok && usage.command == "" {
		usage.command = parsed.Selected().Path()
	}
	return err
}

// newParser builds the command line. Output that was asked for goes to out.
func newParser(commands *cli, comfort string, out, stderr io.Writer) (*kong.Kong, error) {
	return kong.New(commands,
		kong.Name(name),
		kong.Description(description),
		kong.Writers(out, stderr),
		kong.NoDefaultHelp(),
		kong.ConfigureHelp(helpOptions),
		kong.ExplicitGroups(groups),
		helptext.Use(helpTexts...),
		kong.Vars{
			"comfort": comfort, "cardCalls": strconv.Itoa(cardCalls),
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

// usageError is a wrong command line.
type usageError struct {
	message string
	command string // to ask for help; empty for the program as a whole
}

func (e *usageError) Error() string { return e.message }

func wrongUsage(format string, args ...any) error {
	return &usageError{message: fmt.Sprintf(format, args...)}
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
	if given, ok := errors.AsType[*usageError](err); ok {
		return given
	}
	e := &usageError{message: plainUsage(err.Error())}
	if parse.Context == nil {
		return e
	}
	node := parse.Context.Selected()
	if node != nil {
		e.command = node.Path()
	}
	if word, found := strings.CutPrefix(err.Error(), "unexpected argument "); found &&
		node != nil && len(node.Children) == 0 {
		e.message = surplus(node, word)
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

// explain is what people read about an error, with the exit status it means. It is one line, and
// for a wrong command line a second one that says where to look.
func explain(err error) (string, int) {
	line := name + ": " + harmless(oneLine(err.Error())) + "\n"
	if _, ok := errors.AsType[*savedTwiceError](err); ok {
		return line, exitUsage
	}
	if usage, ok := errors.AsType[*usageError](err); ok {
		return line + "Try: " + strings.TrimRight(name+" "+usage.command, " ") + " --help\n", exitUsage
	}
	switch {
	case errors.Is(err, context.Canceled):
		return name + ": stopped\n", exitFailed
	case isInputError(err):
		if file, ok := errors.AsType[*bank.FileError](err); ok && len(file.Problems) > 1 {
			path := shellWord(file.Name)
			if file.Name == standardName {
				path = standard
			}
			line = strings.TrimSuffix(line, "\n") + "; to see them all: " + name + " check " + path + "\n"
		}
		return line + excerpt(err), exitInput
	}
	return line, exitFailed
}

// excerpt shows the place in a phrase that was given on the command line.
func excerpt(err error) string {
	notation, ok := errors.AsType[*rhythm.NotationError](err)
	if !ok {
		return ""
	}
	var b strings.Builder
	for line := range strings.Lines(notation.Excerpt()) {
		b.WriteString("    " + harmless(strings.TrimRight(line, "\n")) + "\n")
	}
	return b.String()
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
