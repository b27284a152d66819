package bank

import (
	"clapladder.example/patterns/internal/tomltext"
)

// FormatTOML gives a bank or a repertoire in TOML its canonical spacing: one space around "=", one
// between beats and around bar lines, one empty line before each header, comments behind values
// lined up. Comments, order, values and the way each beat is divided stay as they are. Formatting
// twice changes nothing more. Line ends become \n, a byte-order mark goes.
//
// What can't be read as TOML gives a *[FileError]; other problems of the file, such as a metre that
// doesn't exist, don't matter here. The name is only used in messages. src is not changed.
func FormatTOML(name string, src []byte) ([]byte, error) {
	s, kind := unlimited.open(name, src)
	switch kind {
	case tomlText:
		tomltext.Read(s)
		tomltext.CheckWhole(s)
	case commaSeparated:
		s.FailWhole("this is CSV, which has no spacing to put right", "give a TOML file")
	}
	if err := fileError(s); err != nil {
		return nil, err
	}
	return tomltext.Layout(s.Text), nil
}
