// Package licences holds the licence texts of everything that is linked into the program.
package licences

import (
	"embed"
	"strings"
)

//go:embed *.txt
var files embed.FS

// Standard stands for the standard library and the runtime of Go.
const Standard = "go"

// Text is the licence text of a module, by its path; false where there is none. Safe for concurrent use.
func Text(module string) (string, bool) {
	data, err := files.ReadFile(strings.ReplaceAll(module, "/", "_") + ".txt")
	return string(data), err == nil && len(data) > 0
}
