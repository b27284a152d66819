package about

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/clapladder/internal/settings"
)

// Settings is the command that shows and changes what is set once for all.
type Settings struct {
	Show  showCommand  `cmd:"" default:"1" help:"Show what is in force and where it is from."`
	Set   setCommand   `cmd:"" help:"Set bank, repertoire, history, comfort or recordings."`
	Unset unsetCommand `cmd:"" help:"Take a setting back."`
}

// Help is shown below the summary.
func (*Settings) Help() string {
	return `Say once what you would say on every command line. An environment variable wins over
the settings, and a flag over both.

Examples:

    clapladder settings
    clapladder settings set bank my-bank.toml
    clapladder settings set recordings ~/Recordings`
}

type showCommand struct {
	JSON bool `help:"Write JSON."`
}

// Help is shown below the summary.
func (*showCommand) Help() string {
	return `bank and repertoire are the files that commands read where no flag names others,
history is the log of groups, comfort the share of a group that should manage a tier, recordings
the folder whose newest recording score takes.

Examples:

    clapladder settings show
    clapladder settings show --json`
}

// settingJSON is a setting as programs read it.
type settingJSON struct {
	Name  string `json:"name"`
	Value string `json:"value"` // in force
	From  string `json:"from"`  // a file or a variable; empty for what is built in
}

func (c *showCommand) Run(con *console.Console) error {
	if con.SettingsErr != nil {
		return con.SettingsErr
	}
	builtIn := map[settings.Name]string{
		settings.Bank: console.Starter, settings.Repertoire: console.Starter,
		settings.Comfort: view.Number(ability.DefaultComfort, 2), settings.History: (&logbook.Log{}).Path(con),
	}
	var list []settingJSON
	for _, n := range settings.Names() {
		v := con.Settings[n]
		list = append(list, settingJSON{string(n), cmp.Or(v.Text, builtIn[n]), v.From})
	}
	if c.JSON {
		return view.JSON(con.Stdout, list)
	}
	table := view.Table{Columns: []view.Column{
		{Title: "SETTING"},
		{Title: "VALUE", Wrap: true},
		{Title: "FROM", Wrap: true},
	}}
	for _, s := range list {
		table.Rows = append(table.Rows, []string{
			s.Name, con.Style.Plain(cmp.Or(s.Value, con.Dash())),
			con.Style.Plain(cmp.Or(s.From, "built in")),
		})
	}
	con.Out(table.Text(con.Style))
	if con.SettingsPath != "" {
		con.Print("")
		con.Para("", "Settings are kept in "+con.SettingsPath+".")
	}
	return nil
}

type setCommand struct {
	Name  string `arg:"" enum:"${settingNames}" offer:"setting" help:"${settings_name}"`
	Value string `arg:"" help:"${settings_set_value}"`
}

var settingsHelp = helptext.Texts{
	"settings_name": "bank, repertoire, history, comfort or recordings.",
	"settings_set_value": "A file, a folder for recordings, a share for comfort; starter for " +
		"the files that come with the program.",
}

// Help is shown below the summary.
func (*setCommand) Help() string {
	return `Examples:

    clapladder settings set bank my-bank.toml
    clapladder settings set repertoire my-pieces.toml
    clapladder settings set comfort 0.8
    clapladder settings set recordings ~/Recordings`
}

func (c *setCommand) Run(con *console.Console) error {
	name, _ := settings.Known(c.Name)
	value, err := c.checked(con, name)
	if err != nil {
		return err
	}
	if err := keepSetting(con, name, value); err != nil {
		return err
	}
	con.Note(fmt.Sprintf("%s is %s now, in %s", name, value, con.SettingsPath))
	if v := con.Env(name.Variable()); v != "" {
		con.Note(fmt.Sprintf("but %s says %s, and wins", name.Variable(), v))
	}
	return nil
}

// checked is the value as it is kept, once it is known to be of use.
func (c *setCommand) checked(con *console.Console, name settings.Name) (string, error) {
	if name == settings.Comfort {
		x, err := strconv.ParseFloat(c.Value, 64)
		if err != nil || !settings.IsComfort(x) {
			return "", fault.Usage("comfort is %s; write a share from %g to %g", c.Value,
				settings.LeastComfort, settings.MostComfort)
		}
		return strconv.FormatFloat(x, 'f', -1, 64), nil
	}
	if c.Value == "" || c.Value == naming.Standard {
		return "", fault.Usage("%s needs the path of a file", name)
	}
	if c.Value == console.Starter && (name == settings.Bank || name == settings.Repertoire) {
		return console.Starter, nil
	}
	path, err := filepath.Abs(c.Value)
	if err != nil {
		return "", err
	}
	switch name {
	case settings.Bank:
		_, err = con.Bank(path)
	case settings.Repertoire:
		_, err = con.Repertoire(path)
	case settings.Recordings:
		info, statErr := os.Stat(path)
		switch {
		case statErr != nil:
			err = fault.Input(path, fault.Plain(statErr))
		case !info.IsDir():
			err = fault.BadInput(path, "this is a file; name the folder it is in")
		}
	case settings.History:
		_, _, err = (&logbook.Log{History: path}).Contents(con)
	}
	return path, err
}

type unsetCommand struct {
	Name string `arg:"" enum:"${settingNames}" offer:"setting" help:"${settings_name}"`
}

// Help is shown below the summary.
func (*unsetCommand) Help() string {
	return `Examples:

    clapladder settings unset bank`
}

func (c *unsetCommand) Run(con *console.Console) error {
	name, _ := settings.Known(c.Name)
	if err := keepSetting(con, name, ""); err != nil {
		return err
	}
	con.Note(fmt.Sprintf("%s is not set any more, in %s", name, con.SettingsPath))
	return nil
}

// set writes a setting; an empty value takes it out.
func keepSetting(con *console.Console, name settings.Name, value string) error {
	if con.SettingsPath == "" {
		return errors.New("the folder for settings is not known; set HOME or XDG_CONFIG_HOME")
	}
	old, err := os.ReadFile(con.SettingsPath)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fault.Input(con.SettingsPath, fault.Plain(err))
	}
	text, err := settings.Set(con.SettingsPath, old, name, value)
	if err != nil {
		return fault.BadInput("settings", "%w", err)
	}
	if err := os.MkdirAll(filepath.Dir(con.SettingsPath), 0o755); err != nil {
		return fmt.Errorf("making the folder %s: %w", filepath.Dir(con.SettingsPath), fault.Plain(err))
	}
	return atomicfile.WriteText(con.SettingsPath, text)
}
