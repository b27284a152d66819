// Package licences holds the licence texts of everything that is linked into the program.
package licences

import (
	"embed"
	"fmt"
	"io"
	"strings"
)

//go:embed *.txt
var files embed.FS

// Standard stands for the standard library and the runtime of Go.
const Standard = "go"

// Text is the licence text of a module, by its path; false where there is none. Safe for concurrent
// use.
func Text(module string) (string, bool) {
	data, err := files.ReadFile(strings.ReplaceAll(module, "/", "_") + ".txt")
	return string(data), err == nil && len(data) > 0
}

// Write writes all texts, each under the module it belongs to, in order of file names.
func Write(w io.Writer) error {
	list, err := files.ReadDir(".")
	if err != nil {
		return err
	}
	for i, file := range list {
		data, err := files.ReadFile(file.Name())
		if err != nil {
			return err
		}
		separator := ""
		if i > 0 {
			separator = "\n\n"
		}
		module := strings.ReplaceAll(strings.TrimSuffix(file.Name(), ".txt"), "_", "/")
		if _, err := fmt.Fprintf(w, "%s==== %s ====\n\n%s\n", separator, module,
			strings.TrimSpace(string(data))); err != nil {
			return err
		}
	}
	return nil
}
