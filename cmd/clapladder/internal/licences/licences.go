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
