// Package terminal holds the manners of the command: what a stream can show, and progress.
//
// Results go to standard output, everything else to standard error. Colour and progress appear only
// where a person looks on, never in a file or a pipe, and NO_COLOR, TERM=dumb and a quiet run
// switch them off. Characters beyond ASCII are used where the locale allows them.
package terminal

import (
	"io"
	"os"
	"runtime"
	"strconv"
	"strings"

	"golang.org/x/term"

	"clapladder.example/assess/view"
)

// IsTerminal reports whether a stream is a terminal.
func IsTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// StyleOf says what can be shown on w, given the environment.
func StyleOf(w io.Writer, env func(string) string) view.Style {
	s := view.Style{Unicode: unicodeLocale(env, runtime.GOOS)}
	if IsTerminal(w) {
		s.Width = columns(w, env)
		s.Colour = env("NO_COLOR") == "" && env("TERM") != "dumb"
	}
	return s
}

// columns is the width of a terminal; a little is left free so that no line breaks at the edge.
func columns(w io.Writer, env func(string) string) int {
	if n, err := strconv.Atoi(env("COLUMNS")); err == nil && n > 0 {
		return n
	}
	if n, _, err := term.GetSize(int(w.(*os.File).Fd())); err == nil && n > 0 {
		return n
	}
	return 0
}

// unicodeLocale reports whether the locale uses UTF-8. The first of LC_ALL, LC_CTYPE and LANG that
// is set decides (POSIX, Base Definitions, chapter 8.2). Windows and macOS show UTF-8 without any
// of them.
func unicodeLocale(env func(string) string, system string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if value := env(name); value != "" {
			value = strings.ToLower(value)
			return strings.Contains(value, "utf-8") || strings.Contains(value, "utf8")
		}
	}
	return system == "windows" || system == "darwin"
}
