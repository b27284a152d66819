package main

import (
	"errors"

	"github.com/alecthomas/kong"
)

// helpWidth is how wide help is written at most, so that it reads the same in a file as on a large
// screen.
const helpWidth = 80

const description = `Grades clap phrases, listens to a recorded call-and-response warm-up, and says which tier of your repertoire the group in the room can handle.

Everything happens on this computer: nothing is uploaded and no sound is kept.

In the break: clapladder score RECORDING. For a first try: clapladder demo.`

// The commands in the order of a leader's day.
var groups = []kong.Group{
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
	Large       bool        `help:"Take files beyond 4 hours, 8 channels or 4 GiB of sound, and banks beyond 10,000 phrases or 4 MiB."`

	Grade   gradeCommand   `cmd:"" group:"home" help:"Rank the phrases of a bank, or the pieces of a repertoire, by difficulty."`
	Show    showCommand    `cmd:"" group:"home" help:"Show one phrase: boxes, counting, what makes it hard."`
	Check   checkCommand   `cmd:"" group:"home" help:"List every problem of a bank or repertoire file."`
	Respace respaceCommand `cmd:"" group:"home" help:"Put the spacing of a bank or repertoire file in order."`
	Add     addCommand     `cmd:"" group:"home" help:"Transcribe and grade a phrase from a recording or a file; add it to a bank."`
	Export  exportCommand  `cmd:"" group:"home" help:"Write a phrase as MIDI, MusicXML or a picture, or a bank as CSV or TOML."`
	Card    cardCommand    `cmd:"" group:"home" help:"Make a warm-up card to print and follow by ear."`
	Sound   soundCommand   `cmd:"" group:"home" help:"Write calls as sound or MIDI, to practise with or to lead from a loudspeaker."`
	Demo    demoCommand    `cmd:"" group:"home" help:"Write a made-up warm-up recording to try things with."`
	Bursts  burstsCommand  `cmd:"" group:"home" help:"List the claps of a recording: time, relative power, width."`

	Score scoreCommand `cmd:"" group:"room" help:"Listen to a recorded warm-up: tier, openers, what came back."`
	Tally tallyCommand `cmd:"" group:"room" help:"Work out tier and openers from what you heard by ear."`
	Pick  pickCommand  `cmd:"" group:"room" help:"Choose what to open with for a tier, a level or a report."`

	History historyCommand `cmd:"" group:"term" help:"View and manage your groups' history."`
	Learn   learnCommand   `cmd:"" group:"term" help:"Adjust difficulties to your own groups' results."`

	Settings   settingsCommand   `cmd:"" group:"about" help:"Say once which bank, repertoire and history are yours."`
	Completion completionCommand `cmd:"" group:"about" help:"Generate a shell completion script."`
	Manual     manualCommand     `cmd:"" group:"about" help:"Write manual pages."`
	Version    versionCommand    `cmd:"" group:"about" help:"Show the version."`
	Suggest    suggestCommand    `cmd:"" hidden:"" passthrough:"" help:"What the completion scripts ask."`
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
	if err := writeVersion(ctx.Stdout); err != nil {
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
