package listen

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"clapladder.example/cmd/clapladder/internal/fault"
)

// recordingNames are the endings of files that a synced folder may hold recordings in.
var recordingNames = []string{
	".3gp", ".aac", ".aif", ".aifc", ".aiff", ".amr", ".caf", ".flac", ".m4a", ".m4b", ".mka",
	".mov", ".mp3", ".mp4", ".oga", ".ogg", ".opus", ".wav", ".webm", ".wma",
}

// newest finds the recording of a folder that was changed last; of several with one time the last
// by name. Files whose name begins with a dot, as half-synced ones do, are passed over, and so are
// other kinds of file.
func newest(folder string) (string, error) {
	files, err := os.ReadDir(folder)
	if err != nil {
		info, statErr := os.Stat(folder)
		if statErr == nil && !info.IsDir() {
			return "", fault.BadInput(folder, "this is a file; name the folder it is in, or leave --latest out")
		}
		return "", fault.Input(folder, fault.Plain(err))
	}
	best, at := "", time.Time{}
	for _, f := range files {
		if !isRecording(f.Name()) {
			continue
		}
		info, err := os.Stat(filepath.Join(folder, f.Name())) // follows links
		if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
			continue
		}
		if !info.ModTime().Before(at) {
			best, at = f.Name(), info.ModTime()
		}
	}
	if best == "" {
		return "", fault.BadInput(folder,
			"there is no recording in this folder; check that the phone has synced, or name the file")
	}
	return filepath.Join(folder, best), nil
}

// isRecording reports whether a file has the name of a recording.
func isRecording(name string) bool {
	return !strings.HasPrefix(name, ".") && slices.Contains(recordingNames,
		strings.ToLower(filepath.Ext(name)))
}
