// Package settings reads and writes what a leader would otherwise say on every command line: which
// bank, repertoire, history, share of the group and folder of recordings. They stand in a TOML file
// in the user's configuration folder; environment variables win over the file, and flags, which are
// not seen here, over both.
package settings

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// Name is the name of a setting.
type Name string

// The settings.
const (
	Bank       Name = "bank"
	Repertoire Name = "repertoire"
	History    Name = "history"
	Comfort    Name = "comfort"
	Recordings Name = "recordings"
)

// Names lists the settings in the order in which they are shown.
func Names() []Name { return []Name{Bank, Repertoire, History, Comfort, Recordings} }

// Variable is the environment variable of a setting.
func (n Name) Variable() string { return "CLAPLADDER_" + strings.ToUpper(string(n)) }

// Known reports whether there is such a setting.
func Known(name string) (Name, bool) {
	for _, n := range Names() {
		if string(n) == name {
			return n, true
		}
	}
	return "", false
}

// Value is a setting in force.
type Value struct {
	Text string // as written; empty where nothing is set
	From string // the file or the variable it is from; empty where nothing is set
}

// Settings is what is in force. The zero value is nothing.
type Settings map[Name]Value

// Of is the text of a setting, empty where nothing is set.
func (s Settings) Of(n Name) string { return s[n].Text }

// Share is the comfort that is set; false where none is.
func (s Settings) Share() (float64, bool) {
	x, err := strconv.ParseFloat(s.Of(Comfort), 64)
	return x, err == nil
}

// Error is a file or variable that can't be used.
type Error struct {
	From    string // the file or the variable
	Line    int    // from 1; 0 where that is not known
	Message string // what is wrong and what to write instead
}

// Error is one line.
func (e *Error) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("%s, line %d: %s", e.From, e.Line, e.Message)
	}
	return e.From + ": " + e.Message
}

// Merge puts environment variables over what a file says. The error is an *Error.
func Merge(file Settings, env func(string) string) (Settings, error) {
	out := Settings{}
	for _, n := range Names() {
		if v, ok := file[n]; ok {
			out[n] = v
		}
		text := strings.TrimSpace(env(n.Variable()))
		if text == "" {
			continue
		}
		if message := check(n, text); message != "" {
			return nil, &Error{From: n.Variable(), Message: message}
		}
		out[n] = Value{text, n.Variable()}
	}
	return out, nil
}

// document is the file.
type document struct {
	Bank       *string  `toml:"bank"`
	Repertoire *string  `toml:"repertoire"`
	History    *string  `toml:"history"`
	Comfort    *float64 `toml:"comfort"`
	Recordings *string  `toml:"recordings"`
}

// Parse reads a file of that name. Relative paths are taken from the file's folder. The error is an
// *Error.
func Parse(name string, data []byte) (Settings, error) {
	var d document
	decoder := toml.NewDecoder(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	if err := decoder.DisallowUnknownFields().Decode(&d); err != nil {
		return nil, problem(name, err)
	}
	out := Settings{}
	for n, text := range map[Name]*string{
		Bank: d.Bank, Repertoire: d.Repertoire,
		History: d.History, Recordings: d.Recordings,
	} {
		if text == nil {
			continue
		}
		if message := check(n, *text); message != "" {
			return nil, &Error{From: name, Line: lineOf(data, n), Message: message}
		}
		out[n] = Value{absolute(filepath.Dir(name), *text), name}
	}
	if d.Comfort != nil {
		text := strconv.FormatFloat(*d.Comfort, 'f', -1, 64)
		if message := check(Comfort, text); message != "" {
			return nil, &Error{From: name, Line: lineOf(data, Comfort), Message: message}
		}
		out[Comfort] = Value{text, name}
	}
	return out, nil
}

// Starter stands for the files that come with the program.
const Starter = "starter"

func absolute(folder, path string) string {
	if path == Starter || filepath.IsAbs(path) || folder == "." {
		return path
	}
	return filepath.Join(folder, path)
}

// The range of the share of a group that should manage a tier.
const (
	LeastComfort = 0.5
	MostComfort  = 0.95
)

// IsComfort reports whether a share is in that range.
func IsComfort(share float64) bool { return share >= LeastComfort && share <= MostComfort }

// check says what is wrong with a value; empty where nothing is.
func check(n Name, text string) string {
	if n == Comfort {
		if x, err := strconv.ParseFloat(text, 64); err != nil || !IsComfort(x) {
			return fmt.Sprintf("comfort is %s; write a share from %g to %g", text, LeastComfort, MostComfort)
		}
		return ""
	}
	if strings.TrimSpace(text) == "" || strings.ContainsAny(text, "\x00\n\r") {
		return fmt.Sprintf("%s names no file; write its path between quotes", n)
	}
	return ""
}

func problem(name string, err error) error {
	if strict, ok := errors.AsType[*toml.StrictMissingError](err); ok && len(strict.Errors) > 0 {
		first := strict.Errors[0]
		line, _ := first.Position()
		var names []string
		for _, n := range Names() {
			names = append(names, string(n))
		}
		return &Error{
			From: name, Line: line,
			Message: fmt.Sprintf("there is no setting %q; settings are %s",
				strings.Join(first.Key(), "."), strings.Join(names, ", ")),
		}
	}
	unreadable := &Error{From: name, Message: `this can't be read; write a line for each setting, ` +
		`such as bank = "my-bank.toml"`}
	if decode, ok := errors.AsType[*toml.DecodeError](err); ok {
		unreadable.Line, _ = decode.Position()
	}
	return unreadable
}

// setting finds the line of a setting.
func setting(n Name) *regexp.Regexp {
	return regexp.MustCompile(`(?m)^[ \t]*"?` + string(n) + `"?[ \t]*=.*(\r?\n|$)`)
}

func lineOf(data []byte, n Name) int {
	at := setting(n).FindIndex(data)
	if at == nil {
		return 0
	}
	return 1 + bytes.Count(data[:at[0]], []byte("\n"))
}

// Set returns the text of a file with a setting put to a value, or taken out where the value is
// empty. Other lines stay as they are. The error is an *Error: the value can't be used, or the old
// text can't.
func Set(name string, old []byte, n Name, value string) ([]byte, error) {
	if _, err := Parse(name, old); err != nil && len(bytes.TrimSpace(old)) > 0 {
		return nil, err
	}
	fresh := ""
	if value != "" {
		if message := check(n, value); message != "" {
			return nil, &Error{From: string(n), Message: message}
		}
		fresh = string(n) + " = " + quoted(n, value) + "\n"
	}
	var text []byte
	if setting(n).Match(old) {
		text = setting(n).ReplaceAllLiteral(old, []byte(fresh))
	} else {
		text = append(bytes.Clone(old), fresh...)
		if len(old) > 0 && old[len(old)-1] != '\n' {
			text = append(append(bytes.Clone(old), '\n'), fresh...)
		}
	}
	if _, err := Parse(name, text); err != nil { // such as a text of several lines in the old file
		return nil, &Error{
			From:    name,
			Message: fmt.Sprintf("%s can't be set without spoiling another line; set it with an editor", n),
		}
	}
	return text, nil
}

func quoted(n Name, value string) string {
	if n == Comfort {
		return value
	}
	if !strings.ContainsAny(value, "'") {
		return "'" + value + "'"
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(value) + `"`
}

// Path is where the file lies: clapladder/settings.toml in the folder for configuration, which is
// $XDG_CONFIG_HOME where that is set to an absolute path (XDG Base Directory Specification),
// otherwise ~/.config, on macOS ~/Library/Application Support and on Windows %AppData%; empty where
// that can't be known.
func Path(system string, env func(string) string) string {
	folder := env("XDG_CONFIG_HOME")
	if !filepath.IsAbs(folder) {
		home := env("HOME")
		switch {
		case system == "windows":
			folder = env("AppData")
		case home == "":
			return ""
		case system == "darwin":
			folder = filepath.Join(home, "Library", "Application Support")
		default:
			folder = filepath.Join(home, ".config")
		}
	}
	if folder == "" {
		return ""
	}
	return filepath.Join(folder, "clapladder", "settings.toml")
}
