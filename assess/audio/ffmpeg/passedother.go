//go:build windows || plan9

package ffmpeg

import "os"

// passed is how ffmpeg reaches the file: by its name, which is ours and can't be an option.
func passed(file *os.File) (path string, files []*os.File) { return file.Name(), nil }
