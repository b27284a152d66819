package calls

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/sound"
)

// Sound is the command that writes calls as sound or MIDI.
type Sound struct {
	IDs       []string `arg:"" optional:"" name:"id" offer:"phrase" help:"${sound_ids}"`
	Bank      string   `short:"b" placeholder:"FILE" help:"Bank to take them from. ${your_bank}"`
	Rhythm    string   `placeholder:"BOXES" help:"A phrase of your own, in boxes: 'x xx . x'."`
	Meter     string   `placeholder:"METRE" help:"Its metre: 4/4, 6/8, 7/8=2+2+3. Default: 4/4."`
	Card      string   `placeholder:"FILE" help:"${sound_card}"`
	Way       []string `placeholder:"ANSWER" help:"${sound_way}"`
	Folder    string   `placeholder:"FOLDER" help:"${sound_folder}"`
	WAV       string   `name:"wav" placeholder:"FILE" help:"Write sound; - for standard output."`
	MIDI      string   `name:"midi" placeholder:"FILE" help:"Write a Standard MIDI File; - for standard output."`
	Answer    bool     `help:"Play the answers, clapped by a few hands, instead of leaving silence for them."`
	Click     bool     `help:"A soft click on every beat, to practise with."`
	NoCountIn bool     `help:"Leave out the bar of count-in."`
	Repeat    int      `placeholder:"N" default:"1" help:"${sound_repeat}"`
	Pause     int      `placeholder:"BARS" default:"1" help:"${sound_pause}"`
	Tempo     float64  `placeholder:"BPM" help:"${sound_tempo}"`
	JSON      bool     `help:"${sound_json}"`
}

var soundHelp = helptext.Texts{
	"sound_ids": "IDs of phrases of the bank in the order of their calls, with spaces or commas " +
		"between.",
	"sound_card": "A warm-up card, as card --json writes it, or a bank to make one from; - for " +
		"standard input.",
	"sound_way": "With --card: the way through it, got or lost for each branching call in turn; " +
		"one letter is enough. With fewer answers than branching calls, it ends with the call " +
		"to make next.",
	"sound_folder": "With --card: write every call to a WAV file of its own, named by its place " +
		"on the card, to be played as the answers come.",
	"sound_repeat": "How often each phrase is called and answered, 1 to ${mostRepeat}. Default: " +
		"1.",
	"sound_pause": "Silent bars before the call of another phrase, 0 to ${mostPause}. Default: " +
		"1.",
	"sound_tempo": "One tempo for everything, in beats a minute. Default: each phrase at its " +
		"own; 96 with --rhythm.",
	"sound_json": "Write JSON instead of the list: the sections and the time of every sound, as " +
		"a list of objects, one for each file of --folder, otherwise one.",
}

// Help is shown below the summary.
func (*Sound) Help() string {
	return `A bar of count-in, then each call and as much silence for the answer: to practise
alone, or to let a loudspeaker lead the warm-up. The loudspeaker then takes the leader's place,
so put the phone near it, and record without --click: a click is heard as claps.

What lies where is listed on standard output, unless the file goes there; --json alone lists it
for programs and writes no file. Begin with the volume low, above all on headphones; noise
regulators and hearing professionals say what is safe for whom.

Examples:

    clapladder sound gangway --wav gangway.wav
    clapladder sound gangway --wav slow.wav --click --repeat 4 --tempo 80
    clapladder sound gangway --wav both.wav --answer
    clapladder sound --rhythm 'x .x x x' --meter 4/4 --midi mine.mid
    clapladder sound row bell fog gangway row --wav warm-up.wav
    clapladder sound --card my-bank.toml --folder calls
    clapladder card --calls 10 --json > card.json
    clapladder sound --card card.json --way got,got,lost --wav warm-up.wav
    clapladder sound row bell fog --wav warm-up.wav --json > warm-up.json`
}

func (c *Sound) Run(con *console.Console) error {
	if err := c.check(); err != nil {
		return err
	}
	calls, err := c.calls(con)
	if err != nil {
		return err
	}
	if c.Tempo != 0 {
		for i := range calls {
			calls[i].phrase = calls[i].phrase.WithTempo(c.Tempo)
		}
	}
	if c.Folder != "" {
		return c.writeFolder(con, calls)
	}
	sequence, err := c.sequence(calls...)
	if err != nil {
		return err
	}
	title := ""
	if len(calls) == 1 {
		title = calls[0].name
	}
	for _, t := range []console.Target{
		{Path: c.WAV, Fill: sequence.WriteWAV},
		{Path: c.MIDI, Fill: func(w io.Writer) error { return sequence.WriteMIDI(w, title) }},
	} {
		if err := con.WriteTarget(t, c.Bank, c.Card); err != nil {
			return err
		}
	}
	switch {
	case c.JSON:
		return view.JSON(con.Stdout, []soundJSON{newSoundJSON(c.WAV, c.MIDI, calls, sequence)})
	case c.WAV != naming.Standard && c.MIDI != naming.Standard:
		c.list(con, calls, sequence)
	}
	return nil
}

// check refuses what does not go together.
func (c *Sound) check() error {
	given := flagcheck.Count(len(c.IDs) > 0, c.Rhythm != "", c.Card != "")
	switch tempo := flagcheck.Tempo(c.Tempo); {
	case given == 0:
		return fault.Usage("name phrases of the bank, or give one with --rhythm or a card with --card")
	case given > 1:
		return fault.Usage("give one of phrases of the bank, --rhythm and --card")
	case c.Meter != "" && c.Rhythm == "":
		return fault.Usage("--meter belongs to --rhythm; the metre of other phrases is known")
	case c.Bank != "" && len(c.IDs) == 0:
		return fault.Usage("--bank is where phrases are looked up; name some")
	case c.Card == "" && (len(c.Way) > 0 || c.Folder != ""):
		return fault.Usage("--way and --folder are about a card; add --card FILE")
	case c.Card != "" && (len(c.Way) > 0) == (c.Folder != ""):
		return fault.Usage("a card has many ways; choose one with --way, or write each call to a " +
			"file of its own with --folder")
	case c.Folder != "" && (c.WAV != "" || c.MIDI != ""):
		return fault.Usage("--folder writes a WAV file for each call; leave --wav and --midi out")
	case c.Folder == "" && c.WAV == "" && c.MIDI == "" && !c.JSON:
		return fault.Usage("say what to write: --wav or --midi, with a file, or --json")
	case c.JSON && (c.WAV == naming.Standard || c.MIDI == naming.Standard):
		return fault.Usage("--json writes to standard output; name files for sound and MIDI")
	case c.WAV == naming.Standard && c.MIDI == naming.Standard:
		return fault.Usage("only one file can go to standard output")
	case c.Repeat < 1 || c.Repeat > sound.MaxRepeat:
		return fault.Usage("--repeat is %d; write a number from 1 to %d", c.Repeat, sound.MaxRepeat)
	case c.Pause < 0 || c.Pause > sound.MaxPause:
		return fault.Usage("--pause is %d; write a number of bars from 0 to %d", c.Pause, sound.MaxPause)
	case tempo != nil:
		return tempo
	}
	return nil
}

func (c *Sound) sequence(calls ...cued) (*sound.Sequence, error) {
	phrases := make([]rhythm.Phrase, len(calls))
	for i, call := range calls {
		phrases[i] = call.phrase
	}
	sequence, err := sound.New(phrases, sound.Options{
		NoCountIn: c.NoCountIn, Click: c.Click,
		Answer: c.Answer, Repeat: c.Repeat, Pause: c.Pause,
	})
	if long, ok := errors.AsType[*sound.TooLongError](err); ok {
		return nil, fault.Usage("%v", long)
	}
	return sequence, err
}

// writeFolder writes every call to a file of its own.
func (c *Sound) writeFolder(con *console.Console, calls []cued) error {
	sequences := make([]*sound.Sequence, len(calls))
	for i, call := range calls {
		var err error
		if sequences[i], err = c.sequence(call); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(c.Folder, 0o755); err != nil {
		return fmt.Errorf("making the folder %s: %w", c.Folder, fault.Plain(err))
	}
	quiet := con.Quiet
	defer func() { con.Quiet = quiet }()
	con.Quiet = true // the list says what was written
	var written []soundJSON
	for i, call := range calls {
		if err := con.Ctx.Err(); err != nil {
			return err
		}
		path := filepath.Join(c.Folder, call.place+".wav")
		if err := con.WriteFile(path, []string{c.Card}, sequences[i].WriteWAV); err != nil {
			return err
		}
		if c.JSON {
			written = append(written, newSoundJSON(path, "", calls[i:i+1], sequences[i]))
			continue
		}
		con.Print(fmt.Sprintf("%s  %s", path, con.Style.Plain(call.title())))
	}
	if c.JSON {
		return view.JSON(con.Stdout, written)
	}
	return nil
}
