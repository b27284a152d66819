package main

import (
	"errors"
	"slices"

	"github.com/alecthomas/kong"

	"clapladder.example/cmd/clapladder/internal/commands/about"
	"clapladder.example/cmd/clapladder/internal/commands/calls"
	"clapladder.example/cmd/clapladder/internal/commands/groups"
	"clapladder.example/cmd/clapladder/internal/commands/listen"
	"clapladder.example/cmd/clapladder/internal/commands/openers"
	"clapladder.example/cmd/clapladder/internal/commands/phrases"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/version"
)

// helpWidth is how wide help is written at most, so that it reads the same in a file as on a large
// screen.
const helpWidth = 80

const description = `Grades clap phrases, listens to a recorded call-and-response warm-up, and says
which tier of your repertoire the group in the room can handle.

Everything happens on this computer: nothing is uploaded and no sound is kept.

In the break: clapladder score RECORDING. For a first try: clapladder demo.`

// The commands in the order of a leader's day.
var commandGroups = []kong.Group{
	{Key: "home", Title: "At home:"},
	{Key: "room", Title: "In the break:"},
	{Key: "term", Title: "Over a term:"},
	{Key: "about", Title: "About the program:"},
}

// cli is the command line.
type cli struct {
	Help        helpFlag    `short:"h" help:"Show help; after a command, with examples."`
	ShowVersion versionFlag `name:"version" help:"Show the version."`
	Quiet       bool        `short:"q" help:"No progress and no remarks on standard error."`
	Large       bool        `help:"${large}"`

	Grade   phrases.Grade   `cmd:"" group:"home" help:"${grade}"`
	Show    phrases.Show    `cmd:"" group:"home" help:"${show}"`
	Check   phrases.Check   `cmd:"" group:"home" help:"${check}"`
	Respace phrases.Respace `cmd:"" group:"home" help:"${respace}"`
	Add     phrases.Add     `cmd:"" group:"home" help:"${add}"`
	Export  phrases.Export  `cmd:"" group:"home" help:"${export}"`
	Card    calls.Card      `cmd:"" group:"home" help:"${card}"`
	Sound   calls.Sound     `cmd:"" group:"home" help:"${sound}"`
	Demo    calls.Demo      `cmd:"" group:"home" help:"${demo}"`
	Bursts  listen.Bursts   `cmd:"" group:"home" help:"${bursts}"`

	Score listen.Score `cmd:"" group:"room" help:"${score}"`
	Tally listen.Tally `cmd:"" group:"room" help:"${tally}"`
	Pick  openers.Pick `cmd:"" group:"room" help:"${pick}"`

	History groups.History `cmd:"" group:"term" help:"${history}"`
	Learn   phrases.Learn  `cmd:"" group:"term" help:"${learn}"`

	Settings   about.Settings   `cmd:"" group:"about" help:"${settings}"`
	Completion about.Completion `cmd:"" group:"about" help:"${completion}"`
	Manual     about.Manual     `cmd:"" group:"about" help:"${manual}"`
	Version    about.Version    `cmd:"" group:"about" help:"${version}"`
	Suggest    about.Suggest    `cmd:"" hidden:"" passthrough:"" help:"${suggest}"`
}

// What each command is for, in one line, and what needs more room than a tag.
var programHelp = helptext.Texts{
	"grade":      "Rank the phrases of a bank, or the pieces of a repertoire, by difficulty.",
	"show":       "Show one phrase: boxes, counting, what makes it hard.",
	"check":      "List every problem of a bank or repertoire file.",
	"respace":    "Put the spacing of a bank or repertoire file in order.",
	"add":        "Transcribe and grade a phrase from a recording or a file; add it to a bank.",
	"export":     "Write a phrase as MIDI, MusicXML or a picture, or a bank as CSV or TOML.",
	"card":       "Make a warm-up card to print and follow by ear.",
	"sound":      "Write calls as sound or MIDI, to practise with or to lead from a loudspeaker.",
	"demo":       "Write a made-up warm-up recording to try things with.",
	"bursts":     "List the claps of a recording: time, relative power, width.",
	"score":      "Listen to a recorded warm-up: tier, openers, what came back.",
	"tally":      "Work out tier and openers from what you heard by ear.",
	"pick":       "Choose what to open with for a tier, a level or a report.",
	"history":    "View and manage your groups' history.",
	"learn":      "Adjust difficulties to your own groups' results.",
	"settings":   "Say once which bank, repertoire and history are yours.",
	"completion": "Generate a shell completion script.",
	"manual":     "Write manual pages.",
	"version":    "Show the version.",
	"suggest":    "What the completion scripts ask.",

	"large": "Take files beyond 4 hours, 8 channels or 4 GiB of sound, and banks beyond 10,000 " +
		"phrases or 4 MiB.",
	"your_bank": "Default: the bank in your settings, else the starter bank.",
}

// helpTexts are those of the program and of all its commands.
func helpTexts() []helptext.Texts {
	return slices.Concat([]helptext.Texts{programHelp},
		phrases.Texts, calls.Texts, listen.Texts, openers.Texts, groups.Texts, about.Texts,
		logbook.Texts)
}

var helpOptions = kong.HelpOptions{
	Compact: true, WrapUpperBound: helpWidth, NoExpandSubcommands: true,
	ValueFormatter: kong.DefaultHelpValueFormatter,
}

// errHelpShown ends a run after help.
var errHelpShown = errors.New("help was shown")

// versionFlag shows the version wherever it is found.
type versionFlag bool

// BeforeReset is called by the parser.
func (versionFlag) BeforeReset(ctx *kong.Context) error {
	if err := version.Write(ctx.Stdout); err != nil {
		return err
	}
	return errHelpShown
}

// helpFlag shows help on standard output wherever it is found, however incomplete the rest of the
// command line is.
type helpFlag bool

// BeforeReset is called by the parser.
func (helpFlag) BeforeReset(ctx *kong.Context) error {
	if err := kong.DefaultHelpPrinter(helpOptions, ctx); err != nil {
		return err
	}
	return errHelpShown
}
