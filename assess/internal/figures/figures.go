// Package figures keeps what a benchmark measured in a file beside it, so that a document can name
// the file instead of copying numbers that age.
package figures

import (
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write the files of figures anew")

// To prints to standard output, and with -update also into the file of that name in the package's
// testdata folder.
func To(tb testing.TB, name string) io.Writer {
	tb.Helper()
	if !*update {
		return os.Stdout
	}
	if err := os.MkdirAll("testdata", 0o755); err != nil {
		tb.Fatal(err)
	}
	file, err := os.Create(filepath.Join("testdata", name))
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := file.Close(); err != nil {
			tb.Error(err)
		}
	})
	return io.MultiWriter(os.Stdout, file)
}
