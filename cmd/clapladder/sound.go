package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"clapladder.example/assess/plan"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/sound"
)

type soundCommand struct {
	IDs       []string `arg:"" optional:"" name:"id" help:"Phrases of the bank in the order of their calls, with spaces or commas between."`
	Bank      string   `short:"b" placeholder:"FILE" help:"Bank to take them from. Default: the starter bank."`
	Rhythm    string   `placeholder:"BOXES" help:"A phrase of your own, in boxes: 'x xx . x'."`
	Meter     string   `placeholder:"METRE" help:"Its metre: 4/4, 6/8, 7/8=2+2+3. Default: 4/4."`
	Card      string   `placeholder:"FILE" help:"A warm-up card, as card --json writes it; - for standard input."`
	Way       []string `placeholder:"ANSWER" help:"With --card: the way through it, got or lost for each branching call; one letter is enough. Where they end, the call to make next is the last."`
	Folder    string   `placeholder:"FOLDER" help:"With --card: write every call to a WAV file of its own, named by its place on the card, to be played as the answers come."`
	WAV       string   `name:"wav" placeholder:"FILE" help:"Write sound; - for standard output."`
	MIDI      string   `name:"midi" placeholder:"FILE" help:"Write a Standard MIDI File; - for standard output."`
	Answer    bool     `help:"Play the answers, clapped by a few hands, instead of leaving silence for them."`
	Click     bool     `help:"A soft click on every beat, to practise with."`
	NoCountIn bool     `help:"Leave out the bar of count-in."`
	Repeat    int      `placeholder:"N" default:"1" help:"How often each phrase is called and answered, 1 to ${mostRepeat}. Default: 1."`
	Pause     int      `placeholder:"BARS" default:"1" help:"Silent bars before the call of another phrase, 0 to ${mostPause}. Default: 1."`
	Tempo     float64  `placeholder:"BPM" help:"One tempo for everything, in beats a minute. Default: each phrase at its own; 96 with --rhythm."`
}

// Help is shown below the summary.
func (*soundCommand) Help() string {
	return `A bar of count-in, then each call and as much silence for the answer: to practise alone, or to let a loudspeaker lead the warm-up. The loudspeaker then takes the leader's place, so put the phone near it, and record without --click: a click is heard as claps.

What lies where is listed on standard output, unless the file goes there. Begin with the volume low, above all on headphones; what is safe for whom, noise regulators and hearing professionals say.

Examples:

    clapladder sound gangway --wav gangway.wav
    clapladder sound gangway --wav slow.wav --click --repeat 4 --tempo 80
    clapladder sound gangway --wav both.wav --answer
    clapladder sound --rhythm 'x .x x x' --meter 4/4 --midi mine.mid
    clapladder sound row bell fog gangway row --wav warm-up.wav
    clapladder card --json > card.json
    clapladder sound --card card.json --way got,got,lost --wav warm-up.wav
    clapladder sound --card card.json --folder calls`
}

// cued is a call of a sequence.
type cued struct {
	id, name string // empty for a phrase of the command line
	place    string // on a card
	phrase   rhythm.Phrase
}

func (c *soundCommand) Run(a *app) error {
	if err := c.check(); err != nil {
		return err
	}
	calls, err := c.calls(a)
	if err != nil {
		return err
	}
	if c.Tempo != 0 {
		for i := range calls {
			calls[i].phrase = calls[i].phrase.WithTempo(c.Tempo)
		}
	}
	if c.Folder != "" {
		return c.writeFolder(a, calls)
	}
	sequence, err := c.sequence(calls...)
	if err != nil {
		return err
	}
	title := ""
	if len(calls) == 1 {
		title = calls[0].name
	}
	for _, t := range []target{{c.WAV, sequence.WriteWAV}, {c.MIDI, func(w io.Writer) error { return sequence.WriteMIDI(w, title) }}} {
		switch t.path {
		case "":
		case standard:
			err = t.fill(a.stdout)
		default:
			err = a.writeFile(t.path, []string{c.Bank, c.Card}, t.fill)
		}
		if err != nil {
			return err
		}
	}
	if c.WAV != standard && c.MIDI != standard {
		c.list(a, calls, sequence)
	}
	return nil
}

// check refuses what does not go together.
func (c *soundCommand) check() error {
	given := 0
	for _, is := range []bool{len(c.IDs) > 0, c.Rhythm != "", c.Card != ""} {
		if is {
			given++
		}
	}
	switch {
	case given == 0:
		return wrongUsage("name phrases of the bank, or give one with --rhythm or a card with --card")
	case given > 1:
		return wrongUsage("give one of phrases of the bank, --rhythm and --card")
	case c.Meter != "" && c.Rhythm == "":
		return wrongUsage("--meter belongs to --rhythm; the metre of other phrases is known")
	case c.Bank != "" && len(c.IDs) == 0:
		return wrongUsage("--bank is where phrases are looked up; name some")
	case c.Card == "" && (len(c.Way) > 0 || c.Folder != ""):
		return wrongUsage("--way and --folder are about a card; add --card FILE")
	case c.Card != "" && (len(c.Way) > 0) == (c.Folder != ""):
		return wrongUsage("a card has many ways; choose one with --way, or write each call to a file of its own with --folder")
	case c.Folder != "" && (c.WAV != "" || c.MIDI != ""):
		return wrongUsage("--folder writes a WAV file for each call; leave --wav and --midi out")
	case c.Folder == "" && c.WAV == "" && c.MIDI == "":
		return wrongUsage("say what to write: --wav or --midi, with a file")
	case c.WAV == standard && c.MIDI == standard:
		return wrongUsage("only one file can go to standard output")
	case c.Repeat < 1 || c.Repeat > sound.MaxRepeat:
		return wrongUsage("--repeat is %d; write a number from 1 to %d", c.Repeat, sound.MaxRepeat)
	case c.Pause < 0 || c.Pause > sound.MaxPause:
		return wrongUsage("--pause is %d; write a number of bars from 0 to %d", c.Pause, sound.MaxPause)
	case c.Tempo != 0 && !(c.Tempo >= rhythm.MinTempo && c.Tempo <= rhythm.MaxTempo):
		return wrongUsage("--tempo is %g; write a number from %g to %g", c.Tempo, rhythm.MinTempo, rhythm.MaxTempo)
	}
	return nil
}

// calls finds or parses what is to be called.
func (c *soundCommand) calls(a *app) ([]cued, error) {
	switch {
	case c.Card != "":
		return c.cardCalls(a)
	case c.Rhythm != "":
		phrase, err := parsePhrase(c.Rhythm, c.Meter, c.Tempo)
		return []cued{{phrase: phrase}}, err
	}
	bank, err := a.bank(c.Bank)
	if err != nil {
		return nil, err
	}
	var out []cued
	for id := range strings.FieldsFuncSeq(strings.Join(c.IDs, ","), func(r rune) bool { return r == ',' || r == ' ' }) {
		entry, err := findEntry(bank, id)
		if err != nil {
			return nil, err
		}
		out = append(out, cued{id: entry.ID, name: entry.Name, phrase: entry.Phrase})
	}
	if len(out) == 0 {
		return nil, wrongUsage("name phrases of the bank; %q names none", strings.Join(c.IDs, " "))
	}
	return out, nil
}

// cardCalls are the calls of a card: along a way through it, or all of them.
func (c *soundCommand) cardCalls(a *app) ([]cued, error) {
	data, err := a.readAll(c.Card)
	if err != nil {
		return nil, err
	}
	card, err := plan.ReadCard(data)
	if err != nil {
		return nil, &inputError{displayName(c.Card), err}
	}
	var out []cued
	add := func(place string, call plan.CardCall) {
		out = append(out, cued{id: call.Phrase, name: cmp.Or(call.Name, call.Phrase), place: place, phrase: call.Rhythm})
	}
	if c.Folder != "" {
		for i, call := range card.Opening {
			add(fmt.Sprintf("begin-%d", i+1), call)
		}
		for _, cell := range card.Branch {
			add(cell.Place, cell.CardCall)
		}
		for i, call := range card.Closing {
			add(fmt.Sprintf("end-%d", i+1), call)
		}
		return out, nil
	}
	var got []bool
	for _, answer := range c.Way {
		switch {
		case answer != "" && strings.HasPrefix("got", answer):
			got = append(got, true)
		case answer != "" && strings.HasPrefix("lost", answer):
			got = append(got, false)
		default:
			return nil, wrongUsage("--way: %q is no answer; write got or lost, with commas between", answer)
		}
	}
	if most := len(card.Ends) - 1; len(got) > most {
		return nil, wrongUsage("--way has %d answers, but the card branches only %d times", len(got), most)
	}
	calls, _ := card.Follow(got)
	for _, call := range calls {
		add("", call)
	}
	return out, nil
}

func (c *soundCommand) sequence(calls ...cued) (*sound.Sequence, error) {
	phrases := make([]rhythm.Phrase, len(calls))
	for i, call := range calls {
		phrases[i] = call.phrase
	}
	sequence, err := sound.New(phrases, sound.Options{NoCountIn: c.NoCountIn, Click: c.Click, Answer: c.Answer, Repeat: c.Repeat, Pause: c.Pause})
	if long, ok := errors.AsType[*sound.TooLongError](err); ok {
		return nil, wrongUsage("%v", long)
	}
	return sequence, err
}

// writeFolder writes every call to a file of its own.
func (c *soundCommand) writeFolder(a *app, calls []cued) error {
	sequences := make([]*sound.Sequence, len(calls))
	for i, call := range calls {
		var err error
		if sequences[i], err = c.sequence(call); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(c.Folder, 0o755); err != nil {
		return fmt.Errorf("making the folder %s: %w", c.Folder, plainError(err))
	}
	quiet := a.quiet
	defer func() { a.quiet = quiet }()
	a.quiet = true // the list says what was written
	for i, call := range calls {
		if err := a.ctx.Err(); err != nil {
			return err
		}
		path := filepath.Join(c.Folder, call.place+".wav")
		if err := a.writeFile(path, []string{c.Card}, sequences[i].WriteWAV); err != nil {
			return err
		}
		a.print(fmt.Sprintf("%s  %s", path, a.style.Plain(call.title())))
	}
	return nil
}

// title names a call in a list.
func (c cued) title() string {
	text := cmp.Or(c.name, c.phrase.String())
	if c.id != "" && c.id != c.name {
		text += " (" + c.id + ")"
	}
	return text
}

// ids are the phrases of the calls as score --order takes them, none where a call is in no bank.
func ids(calls []cued, repeat int) []string {
	var out []string
	for _, call := range calls {
		if call.id == "" {
			return nil
		}
		out = append(out, slices.Repeat([]string{call.id}, repeat)...)
	}
	return out
}
