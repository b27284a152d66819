package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/settings"
)

type settingsCommand struct {
	Show  settingsShow  `cmd:"" default:"1" help:"Show what is in force and where it is from."`
	Set   settingsSet   `cmd:"" help:"Set bank, repertoire, history, comfort or recordings."`
	Unset settingsUnset `cmd:"" help:"Take a setting back."`
}

// Help is shown below the summary.
func (*settingsCommand) Help() string {
	return `Say once what you would say on every command line. An environment variable wins over
the settings, and a flag over both.

Examples:

    clapladder settings
    clapladder settings set bank my-bank.toml
    clapladder settings set recordings ~/Recordings`
}

type settingsShow struct {
	JSON bool `help:"Write JSON."`
}

// Help is shown below the summary.
func (*settingsShow) Help() string {
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

func (c *settingsShow) Run(a *app) error {
	if a.settingsErr != nil {
		return a.settingsErr
	}
	builtIn := map[settings.Name]string{
		settings.Bank: starter, settings.Repertoire: starter,
		settings.Comfort: view.Number(ability.DefaultComfort, 2), settings.History: logging{}.path(a),
	}
	var list []settingJSON
	for _, n := range settings.Names() {
		v := a.settings[n]
		list = append(list, settingJSON{string(n), cmp.Or(v.Text, builtIn[n]), v.From})
	}
	if c.JSON {
		return view.JSON(a.stdout, list)
	}
	table := view.Table{Columns: []view.Column{
		{Title: "SETTING"},
		{Title: "VALUE", Wrap: true},
		{Title: "FROM", Wrap: true},
	}}
	for _, s := range list {
		table.Rows = append(table.Rows, []string{
			s.Name, a.style.Plain(cmp.Or(s.Value, a.dash())),
			a.style.Plain(cmp.Or(s.From, "built in")),
		})
	}
	a.out(table.Text(a.style))
	if a.settingsPath != "" {
		a.print("")
		a.para("", "Settings are kept in "+a.settingsPath+".")
	}
	return nil
}

type settingsSet struct {
	Name  string `arg:"" enum:"${settingNames}" offer:"setting" help:"${settings_name}"`
	Value string `arg:"" help:"${settings_set_value}"`
}

var settingsHelp = helptext.Texts{
	"settings_name": "bank, repertoire, history, comfort or recordings.",
	"settings_set_value": "A file, a folder for recordings, a share for comfort; starter for " +
		"the files that come with the program.",
}

// Help is shown below the summary.
func (*settingsSet) Help() string {
	return `Examples:

    clapladder settings set bank my-bank.toml
    clapladder settings set repertoire my-pieces.toml
    clapladder settings set comfort 0.8
    clapladder settings set recordings ~/Recordings`
}

func (c *settingsSet) Run(a *app) error {
	name, _ := settings.Known(c.Name)
	value, err := c.checked(a, name)
	if err != nil {
		return err
	}
	if err := a.set(name, value); err != nil {
		return err
	}
	a.note(fmt.Sprintf("%s is %s now, in %s", name, value, a.settingsPath))
	if v := a.env(name.Variable()); v != "" {
		a.note(fmt.Sprintf("but %s says %s, and wins", name.Variable(), v))
	}
	return nil
}

// checked is the value as it is kept, once it is known to be of use.
func (c *settingsSet) checked(a *app, name settings.Name) (string, error) {
	if name == settings.Comfort {
		x, err := strconv.ParseFloat(c.Value, 64)
		if err != nil || !(x >= 0.5 && x <= 0.95) {
			return "", wrongUsage("comfort is %s; write a share from 0.5 to 0.95", c.Value)
		}
		return strconv.FormatFloat(x, 'f', -1, 64), nil
	}
	if c.Value == "" || c.Value == standard {
		return "", wrongUsage("%s needs the path of a file", name)
	}
	if c.Value == starter && (name == settings.Bank || name == settings.Repertoire) {
		return starter, nil
	}
	path, err := filepath.Abs(c.Value)
	if err != nil {
		return "", err
	}
	switch name {
	case settings.Bank:
		_, err = a.bank(path)
	case settings.Repertoire:
		_, err = a.repertoire(path)
	case settings.Recordings:
		info, statErr := os.Stat(path)
		switch {
		case statErr != nil:
			err = &inputError{path, plainError(statErr)}
		case !info.IsDir():
			err = badInput(path, "this is a file; name the folder it is in")
		}
	case settings.History:
		_, _, err = logging{History: path}.contents(a)
	}
	return path, err
}

type settingsUnset struct {
	Name string `arg:"" enum:"${settingNames}" offer:"setting" help:"${settings_name}"`
}

// Help is shown below the summary.
func (*settingsUnset) Help() string {
	return `Examples:

    clapladder settings unset bank`
}

func (c *settingsUnset) Run(a *app) error {
	name, _ := settings.Known(c.Name)
	if err := a.set(name, ""); err != nil {
		return err
	}
	a.note(fmt.Sprintf("%s is not set any more, in %s", name, a.settingsPath))
	return nil
}

// set writes a setting; an empty value takes it out.
func (a *app) set(name settings.Name, value string) error {
	if a.settingsPath == "" {
		return errors.New("the folder for settings is not known; set HOME or XDG_CONFIG_HOME")
	}
	old, err := os.ReadFile(a.settingsPath)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return &inputError{a.settingsPath, plainError(err)}
	}
	text, err := settings.Set(a.settingsPath, old, name, value)
	if err != nil {
		return badInput("settings", "%w", err)
	}
	if err := os.MkdirAll(filepath.Dir(a.settingsPath), 0o755); err != nil {
		return fmt.Errorf("making the folder %s: %w", filepath.Dir(a.settingsPath), plainError(err))
	}
	return atomicfile.Write(a.settingsPath, atomicfile.Replace, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

// mostSettings bounds the size of the file, bytes.
const mostSettings = 1 << 20

// loadSettings finds what is in force. A file that can't be used stops only those commands that
// would need it.
func (a *app) loadSettings() {
	a.settingsPath = settings.Path(runtime.GOOS, a.env)
	file := settings.Settings{}
	if a.settingsPath != "" {
		info, err := os.Stat(a.settingsPath)
		switch {
		case err != nil: // there is none
		case !info.Mode().IsRegular() || info.Size() > mostSettings:
			a.settingsErr = badInput(a.settingsPath, "this is no file of settings; move it away")
		default:
			data, err := os.ReadFile(a.settingsPath)
			if err == nil {
				file, err = settings.Parse(a.settingsPath, data)
			}
			if err != nil {
				a.settingsErr = &settingsError{err}
			}
		}
	}
	merged, err := settings.Merge(file, a.env)
	if err != nil && a.settingsErr == nil {
		a.settingsErr = &settingsError{err}
	}
	a.settings = merged
}

// settingsError is an inputError whose text names the file already.
type settingsError struct{ error }

func (e *settingsError) Unwrap() error { return e.error }

// comfort is the share that is set, as the command line writes it.
func (a *app) comfort() string {
	if share, ok := a.settings.Share(); ok {
		return strconv.FormatFloat(share, 'f', -1, 64)
	}
	return strconv.FormatFloat(ability.DefaultComfort, 'f', -1, 64)
}
