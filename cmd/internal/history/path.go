package history

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
)

// DefaultPath is where a user's log lies: clapladder/history.jsonl in the folder
// for user data, which is $XDG_DATA_HOME where that is set to an absolute path (XDG
// Base Directory Specification), otherwise ~/.local/share, on macOS
// ~/Library/Application Support and on Windows %LocalAppData%.
func DefaultPath() (string, error) {
	folder, err := dataFolder(runtime.GOOS, os.Getenv, os.UserHomeDir)
	if err != nil {
		return "", err
	}
	return filepath.Join(folder, "clapladder", "history.jsonl"), nil
}

func dataFolder(system string, env func(string) string, home func() (string, error)) (string, error) {
	if folder := env("XDG_DATA_HOME"); filepath.IsAbs(folder) {
		return folder, nil
	}
	if system == "windows" {
		if folder := env("LocalAppData"); folder != "" {
			return folder, nil
		}
	}
	folder, err := home()
	if err != nil || folder == "" {
		return "", errors.New("the home folder is not known; say where the history is kept")
	}
	if system == "darwin" {
		return filepath.Join(folder, "Library", "Application Support"), nil
	}
	return filepath.Join(folder, ".local", "share"), nil
}
