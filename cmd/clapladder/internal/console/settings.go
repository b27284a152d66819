package console

import (
	"os"
	"runtime"
	"strconv"

	"clapladder.example/assess/ability"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/settings"
)

// mostSettings bounds the size of the file, bytes.
const mostSettings = 1 << 20

// LoadSettings finds what is in force. A file that can't be used stops only those commands that
// would need it.
func (con *Console) LoadSettings() {
	con.SettingsPath = settings.Path(runtime.GOOS, con.Env)
	file := settings.Settings{}
	if con.SettingsPath != "" {
		info, err := os.Stat(con.SettingsPath)
		switch {
		case err != nil: // there is none
		case !info.Mode().IsRegular() || info.Size() > mostSettings:
			con.SettingsErr = fault.BadInput(con.SettingsPath, "this is no file of settings; move it away")
		default:
			data, err := os.ReadFile(con.SettingsPath)
			if err == nil {
				file, err = settings.Parse(con.SettingsPath, data)
			}
			if err != nil {
				con.SettingsErr = &settingsError{err}
			}
		}
	}
	merged, err := settings.Merge(file, con.Env)
	if err != nil && con.SettingsErr == nil {
		con.SettingsErr = &settingsError{err}
	}
	con.Settings = merged
}

// settingsError is an input that can't be used whose text names the file already.
type settingsError struct{ error }

func (e *settingsError) Unwrap() error   { return e.error }
func (e *settingsError) ExitStatus() int { return fault.ExitInput }

// Comfort is the share that is set, as the command line writes it.
func (con *Console) Comfort() string {
	if share, ok := con.Settings.Share(); ok {
		return strconv.FormatFloat(share, 'f', -1, 64)
	}
	return strconv.FormatFloat(ability.DefaultComfort, 'f', -1, 64)
}
