package phrases

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// Add is the command that writes down a phrase, and adds it to a bank.
type Add struct {
	File   string   `arg:"" optional:"" help:"${add_file}"`
	Rhythm string   `placeholder:"BOXES" help:"The phrase in boxes instead."`
	Meter  string   `placeholder:"METRE" help:"${add_meter}"`
	Tempo  float64  `placeholder:"BPM" help:"Its tempo in beats a minute. Default: that of the file, else 96."`
	To     string   `placeholder:"BANK" help:"Add it at the end of this bank; it is made where there is none."`
	ID     string   `placeholder:"ID" help:"Its ID in the bank, one short word."`
	Name   string   `placeholder:"TEXT" help:"Its name; words that can be spoken in the rhythm are welcome."`
	Tier   int      `placeholder:"TIER" help:"Your own placing, 1 to 20, which wins over the program's."`
	Tags   []string `placeholder:"TAG" help:"Its tags."`
	JSON   bool     `help:"Write JSON; tier and difficulty are the program's."`
}

var addHelp = helptext.Texts{
	"add_file": "Where the phrase is: a recording of somebody clapping it, a MIDI file, or a " +
		"score in MusicXML; - for standard input.",
	"add_meter": "Its metre, for boxes and MIDI. Default: that of the file, else 4/4.",
}

// Help is shown below the summary.
func (*Add) Help() string {
	return `Without --to the phrase is only written down and graded. Look at it before you add
it: a clapped phrase may be heard in another metre than it was meant in.

Examples:

    clapladder add hatch.m4a
    clapladder add hatch.m4a --to my-bank.toml --id hatch --name 'Shut it'
    clapladder add line.mid --to my-bank.toml --id winch
    clapladder add --rhythm 'x .x x x' --to my-bank.toml --id anchor
    clapladder add --rhythm 'x.x .xx' --meter 6/8 --json`
}

func (c *Add) Run(con *console.Console) error {
	if err := c.check(); err != nil {
		return err
	}
	phrase, err := c.phrase(con)
	if err != nil {
		return err
	}
	entry := bank.Entry{ID: c.ID, Name: cmp.Or(c.Name, c.ID), Tier: c.Tier, Tags: c.Tags, Phrase: phrase}
	model := difficulty.DefaultModel()
	g := patterns.GradePhrase(model, phrase)
	if c.To != "" {
		if err := c.append(con, entry); err != nil {
			return err
		}
	}
	if c.JSON {
		g.Entry = entry
		return view.JSON(con.Stdout, newGradedJSON(model, g))
	}
	con.Print(fmt.Sprintf("rhythm = %q", phrase.String()))
	con.Print(fmt.Sprintf("meter = %q, tempo = %s", phrase.Meter().String(), view.Number(phrase.Tempo(), 1)))
	con.Print(fmt.Sprintf("Tier %d, difficulty %s, give or take %s", g.Tier, console.Decimal(g.Difficulty, 1),
		console.Decimal(g.SD, 1)))
	con.Print("")
	for _, line := range view.Spoken(phrase, spoken.Counting, nil, con.Style) {
		con.Print("  " + line)
	}
	return nil
}

func (c *Add) check() error {
	switch tempo := flagcheck.Tempo(c.Tempo); {
	case c.File == "" && c.Rhythm == "":
		return fault.Usage("name a file with the phrase, or give it with --rhythm")
	case c.File != "" && c.Rhythm != "":
		return fault.Usage("give either a file or --rhythm, not both")
	case tempo != nil:
		return tempo
	case c.To != "" && c.ID == "":
		return fault.Usage("--to needs an ID for the phrase; add --id")
	case c.To == "" && (c.ID != "" || c.Name != "" || c.Tier != 0 || len(c.Tags) > 0):
		return fault.Usage("--id, --name, --tier and --tags are for a bank; add --to BANK")
	case c.To == console.Starter || c.To == naming.Standard:
		return fault.Usage("--to needs a bank of your own")
	case c.Tier < 0 || c.Tier > 20:
		return fault.Usage("--tier is %d; write a number from 1 to 20", c.Tier)
	}
	return nil
}

func (c *Add) phrase(con *console.Console) (rhythm.Phrase, error) {
	var meter rhythm.Meter
	if c.Meter != "" || c.Rhythm != "" {
		var err error
		if meter, err = rhythm.ParseMeter(cmp.Or(c.Meter, "4/4")); err != nil {
			return rhythm.Phrase{}, fault.Flag("--meter", err)
		}
	}
	if c.Rhythm == "" {
		phrase, err := phraseFrom(con, c.File, meter, c.Tempo)
		if err != nil {
			return phrase, err
		}
		return phrase.WithTempo(math.Round(phrase.Tempo())), nil
	}
	phrase, err := rhythm.Parse(c.Rhythm, meter, cmp.Or(c.Tempo, rhythm.DefaultTempo))
	if err != nil {
		return phrase, fault.Flag("--rhythm", err)
	}
	return phrase, nil
}

// append adds the phrase to the bank. The bank keeps its comments and its order.
func (c *Add) append(con *console.Console, entry bank.Entry) error {
	var old []byte
	if _, err := os.Stat(c.To); !errors.Is(err, fs.ErrNotExist) {
		if old, err = con.ReadAll(c.To); err != nil {
			return err
		}
	}
	if len(old) > 0 {
		bank, err := con.Loader().Bank(c.To, old)
		if err != nil {
			return err
		}
		if _, taken := bank.Find(entry.ID); taken {
			return fault.Usage("%s has a phrase %q already; choose another --id", c.To, entry.ID)
		}
	}
	text, err := bank.AppendPhrase(c.To, old, entry)
	if err != nil {
		return fault.Usage("the phrase can't be added: %v", err)
	}
	if err := atomicfile.WriteText(c.To, text); err != nil {
		return err
	}
	con.Note(fmt.Sprintf("added %s to %s", entry.ID, c.To))
	return nil
}
