package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// licences are the texts of the licences of Go and of every module that is linked into the browser
// program.
func licences(ctx context.Context) string {
	const format = `{{if not .Standard}}{{with .Module}}{{if not .Main}}` +
		`{{.Path}} {{.Version}} {{.Dir}}{{end}}{{end}}{{end}}`
	list, err := golang(ctx, "list", "-deps", "-f", format,
		"clapladder.example/cmd/phonepage/internal/browser")
	if err != nil {
		return "The list of modules could not be made."
	}
	modules := slices.Compact(slices.Sorted(strings.Lines(list)))
	var out strings.Builder
	if root, err := golang(ctx, "env", "GOROOT"); err == nil {
		add(&out, "Go", strings.TrimSpace(root))
	}
	for _, line := range modules {
		if fields := strings.Fields(line); len(fields) == 3 {
			add(&out, fields[0]+" "+fields[1], fields[2])
		}
	}
	return out.String()
}

// add writes the licence that lies in a folder.
func add(out *strings.Builder, name, folder string) {
	fmt.Fprintf(out, "=== %s\n\n", name)
	found, _ := filepath.Glob(filepath.Join(folder, "[Ll][Ii][Cc][Ee][Nn][CcSs][Ee]*"))
	for _, file := range found {
		if text, err := os.ReadFile(file); err == nil {
			out.Write(text)
			out.WriteString("\n")
		}
	}
}
