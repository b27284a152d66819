// Command phonepage builds the page with which clapladder runs on a phone:
//
//	go run ./cmd/phonepage OUT
//
// writes OUT/clapladder.html, one file to keep on a phone or to send, and OUT/site, a folder for
// any static web host.
package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"

	"clapladder.example/cmd/phonepage/internal/page"
)

// Exit statuses.
const (
	done = iota
	failed
	wrongUsage
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("phonepage", flag.ContinueOnError)
	flags.SetOutput(stderr)
	version := flags.String("version", "development", "version that the page and its reports carry")
	flags.Usage = func() {
		fmt.Fprint(flags.Output(),
			"phonepage [--version V] OUT\n\nBuilds OUT/clapladder.html, one file for a phone, "+
				"and OUT/site, a folder for a web host.\n")
		flags.PrintDefaults()
	}
	if err := flags.Parse(args); errors.Is(err, flag.ErrHelp) {
		return done
	} else if err != nil {
		return wrongUsage
	}
	if flags.NArg() != 1 {
		fmt.Fprintln(stderr, "name one folder to write to, such as: go run ./cmd/phonepage out")
		return wrongUsage
	}
	if err := build(ctx, flags.Arg(0), *version, stdout); err != nil {
		fmt.Fprintln(stderr, "phonepage:", err)
		return failed
	}
	return done
}

// build writes the file and the folder.
func build(ctx context.Context, out, version string, stdout io.Writer) error {
	parts, err := gather(ctx, version)
	if err != nil {
		return err
	}
	file, err := parts.File()
	if err != nil {
		return err
	}
	folder, err := parts.Folder()
	if err != nil {
		return err
	}
	files := map[string][]byte{"clapladder.html": file}
	for name, data := range folder {
		files[filepath.Join("site", name)] = data
	}
	for name, data := range files {
		if err := write(filepath.Join(out, name), data); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(stdout, "%s  %.2f MB\n%s%c  %d files\n",
		filepath.Join(out, "clapladder.html"), float64(len(file))/1e6, filepath.Join(out, "site"),
		filepath.Separator, len(folder))
	return err
}

// gather builds the scorer for the browser and finds what belongs to it.
func gather(ctx context.Context, version string) (page.Parts, error) {
	root, err := golang(ctx, "env", "GOROOT")
	if err != nil {
		return page.Parts{}, err
	}
	startup, err := os.ReadFile(filepath.Join(strings.TrimSpace(root), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return page.Parts{}, fmt.Errorf("finding Go's start-up script for browsers: %w", err)
	}
	scratch, err := os.MkdirTemp("", "phonepage-")
	if err != nil {
		return page.Parts{}, err
	}
	defer os.RemoveAll(scratch)
	program := filepath.Join(scratch, "scorer.wasm")
	build := []string{"build", "-trimpath", "-ldflags", "-s -w -X main.version=" + version, "-o", program}
	for _, name := range unhurried {
		build = append(build, "-gcflags="+name+"=-l")
	}
	build = append(build, "clapladder.example/cmd/phonepage/internal/browser")
	if _, err := golang(ctx, build...); err != nil {
		return page.Parts{}, err
	}
	plain, err := os.ReadFile(program)
	if err != nil {
		return page.Parts{}, err
	}
	scorer, err := pack(plain)
	if err != nil {
		return page.Parts{}, err
	}
	texts, err := pack([]byte(licences(ctx)))
	if err != nil {
		return page.Parts{}, err
	}
	return page.Parts{Scorer: scorer, Startup: startup, Tool: "clapladder " + version, Licences: texts}, nil
}

// unhurried are packages that the scorer spends no time in. Without inlining in them the packed
// program is a twentieth smaller.
var unhurried = []string{
	"encoding/json", "fmt", "html/template", "math/big", "net/url", "reflect", "regexp",
	"regexp/syntax", "text/template", "text/template/parse", "time",
}

// pack makes data smaller with gzip.
func pack(data []byte) ([]byte, error) {
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	_, err = w.Write(data)
	err = errors.Join(err, w.Close())
	return packed.Bytes(), err
}

// golang runs the go command for the browser and returns what it prints.
func golang(ctx context.Context, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		return "", fmt.Errorf("go %s: %w\n%s", args[0], err, strings.TrimSpace(stderr.String()))
	}
	return string(out), nil
}

// write replaces a file in one step.
func write(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".phonepage-")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err = errors.Join(err, f.Chmod(0o644), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
