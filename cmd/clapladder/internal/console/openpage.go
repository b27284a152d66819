package console

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"runtime"
)

// pageOpeners are the programs that show a file as the system would on a double click.
var pageOpeners = map[string][]string{
	"darwin":  {"open"},
	"windows": {"rundll32", "url.dll,FileProtocolHandler"},
}

// OpenPage shows a page that was written. The path is absolute, so no name can pass for a flag.
func (con *Console) OpenPage(path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	command, ok := pageOpeners[runtime.GOOS]
	if !ok {
		command = []string{"xdg-open"}
	}
	program, err := exec.LookPath(command[0])
	if err != nil {
		con.Note("there is nothing to show it with; open " + path)
		return nil
	}
	shown := exec.CommandContext(con.Ctx, program, append(command[1:], path)...)
	if err := shown.Run(); err != nil {
		return fmt.Errorf("showing %s: %w", path, err)
	}
	return nil
}
