//go:build !windows && !plan9

package ffmpeg

import "os"

// passed is how ffmpeg reaches a file that has no name: as its first descriptor after the usual
// three.
func passed(file *os.File) (path string, files []*os.File) {
	return "/dev/fd/3", []*os.File{file}
}
