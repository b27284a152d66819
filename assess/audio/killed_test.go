//go:build unix

package audio_test

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// The copy that ffmpeg reads has no name from before its first byte, so that a kill at any moment
// leaves no sound behind. The test runs itself and kills it, five times, or KILLS=200 times.
func TestAKillLeavesNoSoundBehind(t *testing.T) {
	if os.Getenv("KILL_ME") != "" {
		stream, err := audio.Open(t.Context(),
			bytes.NewReader(append([]byte("#!AMR\n"), make([]byte, 1<<20)...)),
			audio.Options{FFmpeg: os.Getenv("KILL_ME")})
		if err == nil {
			_, _ = io.Copy(io.Discard, reader{stream})
		}
		return
	}
	program, _ := fakeFFmpeg(t, "sleep 0.2; cat \"$(grep '^file:' args | cut -c6-)\"; sleep 1")
	kills, err := strconv.Atoi(os.Getenv("KILLS"))
	if err != nil {
		kills = 5
	}
	for i := range kills {
		folder := t.TempDir()
		child := exec.Command(os.Args[0], "-test.run", "^TestAKillLeavesNoSoundBehind$")
		child.Env = append(os.Environ(), "KILL_ME="+program, "TMPDIR="+folder)
		require.NoError(t, child.Start())
		time.Sleep(time.Duration(20+200*i/kills) * time.Millisecond)
		require.NoError(t, child.Process.Kill())
		_ = child.Wait()
		left, err := os.ReadDir(folder)
		require.NoError(t, err)
		for _, entry := range left {
			info, err := entry.Info()
			require.NoError(t, err)
			assert.Zero(t, info.Size(), entry.Name())
		}
	}
}

type reader struct{ *audio.Stream }

func (r reader) Read(p []byte) (int, error) {
	n, err := r.Stream.Read(make([]float32, len(p)))
	return n, err
}
