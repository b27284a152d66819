package about

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/grammar"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/manual"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/clapladder/internal/version"
)

// Manual is the command that writes manual pages.
type Manual struct {
	Command []string `arg:"" optional:"" help:"Command to write the page of. Default: the program."`
	Folder  string   `placeholder:"FOLDER" help:"${manual_folder}"`
}

var manualHelp = helptext.Texts{
	"manual_folder": "Write the pages of the program and of every command into this folder.",
}

// Help is shown below the summary.
func (*Manual) Help() string {
	return `The pages are in the format of man(1).

Examples:

    clapladder manual > clapladder.1
    clapladder manual score | man -l -
    clapladder manual --folder ~/.local/share/man/man1`
}

func (c *Manual) Run(con *console.Console) error {
	program := grammar.Of(con.Model)
	if c.Folder != "" {
		if len(c.Command) > 0 {
			return fault.Usage("--folder writes every page; leave the command out")
		}
		return c.write(con, program)
	}
	want := append([]string{naming.Program}, c.Command...)
	var known []string
	for _, command := range program.All() {
		if strings.Join(command.Path, " ") == strings.Join(want, " ") {
			con.Out(manual.Page(program, command, version.Tool(), manualSections))
			return nil
		}
		known = append(known, strings.Join(command.Path[1:], " "))
	}
	asked := strings.Join(c.Command, " ")
	return fault.Usage("unknown command %q%s", asked, naming.DidYouMean(asked, known))
}

// write puts every page into a folder.
func (c *Manual) write(con *console.Console, program grammar.Command) error {
	if err := os.MkdirAll(c.Folder, 0o755); err != nil {
		return fmt.Errorf("making the folder %s: %w", c.Folder, fault.Plain(err))
	}
	for _, command := range program.All() {
		path := filepath.Join(c.Folder, strings.Join(command.Path, "-")+".1")
		page := manual.Page(program, command, version.Tool(), manualSections)
		if err := atomicfile.WriteText(path, []byte(page)); err != nil {
			return err
		}
		con.Print(path)
	}
	return nil
}

// manualSections end the program's page.
var manualSections = []manual.Section{
	{Title: "Phrases", Terms: [][2]string{
		{"", "A phrase is written in boxes, one character a box. Bars are separated by |, beats " +
			"by spaces; the boxes of a beat divide it equally. x is a clap, s a stamp, p a pat " +
			"on the thighs, n a snap of the fingers, upper case is accented, . or - is silence. " +
			"A bar in one run of boxes is divided equally as a whole."},
		{"4/4, 3/4, 2/2", "Simple metres: the beat is the written unit."},
		{"6/8, 9/8, 12/8", "Compound metres: a beat is three eighths."},
		{"5/8=2+3, 7/8=2+2+3", "Beats of unequal length; the tempo counts quarters."},
		{"5/4=3+2", "Strong beats are marked."},
	}},
	{Title: "Files", Terms: [][2]string{
		{"bank", "TOML with a [[phrase]] for each phrase, or CSV with the same columns: id, " +
			"meter and rhythm are needed; name, tempo (20 to 400, otherwise 96), tier (1 to 20), " +
			"difficulty, tags and notes may be given."},
		{"repertoire", "TOML with a [[piece]] (id, name, meter, tempo, tags, notes) and below it " +
			"a [[piece.part]] (name, role, rhythm) for each part, or CSV with a row for each " +
			"part. Roles are core, support and lead."},
		{"settings.toml", "What you would say on every command line: bank, repertoire, history, " +
			"comfort, recordings. In the folder for configuration: $XDG_CONFIG_HOME/clapladder, " +
			"otherwise ~/.config/clapladder; ~/Library/Application Support/clapladder on macOS; " +
			"%AppData%\\clapladder on Windows. Environment variables win over it, flags over " +
			"both. clapladder settings shows what is in force."},
		{"history.jsonl", "The log of groups, in the folder for your data: " +
			"$XDG_DATA_HOME/clapladder, otherwise ~/.local/share/clapladder; " +
			"~/Library/Application Support/clapladder on macOS; %LocalAppData%\\clapladder on Windows."},
	}},
	{Title: "JSON", Terms: [][2]string{
		{"", "Names that end in _s are seconds, in _ms milliseconds, in _bpm beats a minute " +
			"(quarters where beats differ in length), in _hz hertz. Shares, participations, " +
			"chances, confidence and scores are from 0 to 1. Difficulties, levels and tiers are " +
			"on one scale: one unit is one tier and one logit. What is not stated is null. " +
			"Fields may be added; the schema names the version."},
	}},
	{Title: "Exit status", Terms: [][2]string{
		{"0", "Done."},
		{"1", "Failed: the work could not be finished."},
		{"2", "Wrong command line."},
		{
			"3",
			"An input that can't be used; one line on standard error says what to do.",
		},
	}},
	{Title: "Environment", Terms: [][2]string{
		{"NO_COLOR", "Switches bold and faint text off."},
		{"LC_ALL, LC_CTYPE, LANG", "Characters beyond ASCII are used where the locale is UTF-8."},
		{"COLUMNS", "Width of the terminal."},
		{"CLAPLADDER_BANK, CLAPLADDER_REPERTOIRE, CLAPLADDER_HISTORY, CLAPLADDER_COMFORT, " +
			"CLAPLADDER_RECORDINGS", "Win over the settings of the same names."},
		{"XDG_CONFIG_HOME", "Where the settings are kept."},
		{"XDG_DATA_HOME", "Where the log of groups is kept."},
	}},
	{Title: "Cautions", Terms: [][2]string{
		{"", "A result is about one warm-up, not about people. Hearing few hands does not mean " +
			"low ability: soft, seated or one-handed clapping is heard as less. Record people " +
			"only with the consent that your place asks for. Look after ears and hands; rules of " +
			"the place and the advice of licensed professionals come first."},
	}},
}
