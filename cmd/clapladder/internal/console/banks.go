package console

import (
	"cmp"
	"strings"

	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/patterns/bank"
)

// Starter is the word that stands for the files that come with the program.
const Starter = "starter"

// BankPath is where the bank is that the command line means: the one in the settings for "".
func (con *Console) BankPath(path string) string {
	return cmp.Or(path, con.Settings.Of(settings.Bank), Starter)
}

// Bank loads a bank; that of the settings for "", the starter bank for "starter".
func (con *Console) Bank(path string) (*bank.Bank, error) {
	if path == "" && con.SettingsErr != nil {
		return nil, con.SettingsErr
	}
	if path = con.BankPath(path); path == Starter {
		return bank.Starter(), nil
	}
	data, err := con.ReadAll(path)
	if err != nil {
		return nil, err
	}
	return con.Loader().Bank(naming.Display(path), data)
}

// Repertoire loads a repertoire; that of the settings for "", the starter repertoire for "starter".
func (con *Console) Repertoire(path string) (*bank.Repertoire, error) {
	if path == "" && con.SettingsErr != nil {
		return nil, con.SettingsErr
	}
	if path = cmp.Or(path, con.Settings.Of(settings.Repertoire), Starter); path == Starter {
		return bank.StarterRepertoire(), nil
	}
	data, err := con.ReadAll(path)
	if err != nil {
		return nil, err
	}
	return con.Loader().Repertoire(naming.Display(path), data)
}

// BankName is what people call a bank: the file as it was given, or that it is the starter bank.
func BankName(path string) string { return cmp.Or(strings.TrimSpace(naming.Display(path)), Starter) }
