//go:build linux || darwin

package main

import (
	"bytes"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"
)

// process is a run of the program as a process of its own. Its folder for temporary files must be
// empty at the end.
type process struct {
	*exec.Cmd
	out, errs bytes.Buffer
	temporary string
}

func newProcess(t *testing.T, args ...string) *process {
	t.Helper()
	program, err := os.Executable()
	require.NoError(t, err)
	p := &process{Cmd: exec.CommandContext(t.Context(), program, args...), temporary: t.TempDir()}
	p.Env = append(os.Environ(), asProgram+"=0", "TMPDIR="+p.temporary,
		"XDG_DATA_HOME="+t.TempDir(), "XDG_CONFIG_HOME="+t.TempDir(), "LANG=en_GB.UTF-8")
	p.Stdout, p.Stderr = &p.out, &p.errs
	return p
}

// finish waits for the end and returns what was left behind; -1 is the status after a signal.
func (p *process) finish(t *testing.T) outcome {
	t.Helper()
	_ = p.Wait()
	left, err := os.ReadDir(p.temporary)
	require.NoError(t, err)
	require.Empty(t, left, "temporary files")
	return outcome{p.out.String(), p.errs.String(), p.ProcessState.ExitCode()}
}

func (p *process) run(t *testing.T) outcome {
	t.Helper()
	require.NoError(t, p.Start())
	return p.finish(t)
}
