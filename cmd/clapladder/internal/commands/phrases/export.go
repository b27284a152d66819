package phrases

import (
	"cmp"
	"errors"
	"io"
	"path/filepath"
	"strings"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm/midifile"
	"clapladder.example/rhythm/musicxml"
)

// Export is the command that writes a phrase or a bank in other formats.
type Export struct {
	ID        string  `arg:"" optional:"" offer:"phrase" help:"${export_id}"`
	Bank      string  `short:"b" placeholder:"FILE" help:"Bank to take it from. ${your_bank}"`
	Tempo     float64 `placeholder:"BPM" help:"Another tempo, in beats a minute."`
	MIDI      string  `name:"midi" placeholder:"FILE" help:"${export_midi}"`
	NoCountIn bool    `help:"Leave the count-in out of the MIDI file."`
	Answer    bool    `help:"Leave silent bars for the answer at the end of the MIDI file."`
	MusicXML  string  `name:"musicxml" placeholder:"FILE" help:"${export_music_xml}"`
	SVG       string  `name:"svg" placeholder:"FILE" help:"Write a picture of the boxes."`
	CSV       string  `name:"csv" placeholder:"FILE" help:"Write the whole bank as CSV, for a spreadsheet."`
	TOML      string  `name:"toml" placeholder:"FILE" help:"Write the whole bank as TOML."`
}

var exportHelp = helptext.Texts{
	"export_id":        "ID of a phrase of the bank. Default: the whole bank, as CSV or TOML.",
	"export_midi":      "Write a Standard MIDI File, with one bar of count-in.",
	"export_music_xml": "Write a score in MusicXML; compressed where the name ends in .mxl.",
}

// Help is shown below the summary.
func (*Export) Help() string {
	return `A dash for a file means standard output.

Examples:

    clapladder export gangway --midi gangway.mid --answer
    clapladder export gangway --musicxml gangway.mxl --svg gangway.svg
    clapladder export --bank my-bank.toml --csv my-bank.csv
    clapladder export --toml my-bank.toml`
}

func (c *Export) Run(con *console.Console) error {
	bank, err := con.Bank(c.Bank)
	if err != nil {
		return err
	}
	targets := c.bankTargets(bank)
	if c.ID != "" {
		entry, err := console.FindEntry(bank, c.ID)
		if err != nil {
			return err
		}
		targets = append(targets, c.phraseTargets(entry)...)
	} else if c.MIDI != "" || c.MusicXML != "" || c.SVG != "" || c.Tempo != 0 {
		return fault.Usage("name a phrase; only --csv and --toml write a whole bank")
	}
	if err := flagcheck.Tempo(c.Tempo); err != nil {
		return err
	}
	wanted, toOutput := 0, 0
	for _, t := range targets {
		if t.Path != "" {
			wanted++
		}
		if t.Path == naming.Standard {
			toOutput++
		}
	}
	switch {
	case wanted == 0:
		return fault.Usage("say what to write: --midi, --musicxml, --svg, --csv or --toml, with a file")
	case toOutput > 1:
		return fault.Usage("only one file can go to standard output")
	}
	var failed error
	for _, t := range targets {
		failed = errors.Join(failed, con.WriteTarget(t, c.Bank))
	}
	return failed
}

func (c *Export) bankTargets(bank *bank.Bank) []console.Target {
	encoded := func(data []byte, err error) func(io.Writer) error {
		return func(w io.Writer) error {
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		}
	}
	return []console.Target{
		{Path: c.CSV, Fill: encoded(bank.EncodeCSV(','))},
		{Path: c.TOML, Fill: encoded(bank.EncodeTOML())},
	}
}

func (c *Export) phraseTargets(entry bank.Entry) []console.Target {
	phrase := entry.Phrase.WithTempo(cmp.Or(c.Tempo, entry.Phrase.Tempo()))
	return []console.Target{
		{Path: c.MIDI, Fill: func(w io.Writer) error {
			return midifile.Write(w, phrase, midifile.WriteOptions{
				NoCountIn: c.NoCountIn,
				Answer:    c.Answer, Title: entry.Name,
			})
		}},
		{Path: c.MusicXML, Fill: func(w io.Writer) error {
			return musicxml.Write(w, phrase, musicxml.WriteOptions{
				Title: entry.Name, Compressed: strings.EqualFold(filepath.Ext(c.MusicXML), ".mxl"),
			})
		}},
		{Path: c.SVG, Fill: func(w io.Writer) error { return view.PhraseSVG(w, phrase, 900) }},
	}
}
