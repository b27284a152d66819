package audio_test

import (
	"bytes"
	"io"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }

func TestMemoryDoesNotGrowWithTheRecording(t *testing.T) {
	minute := pcm16(clapTrain(audio.Rate, 60, 0.001))
	header := wavFile(wavSpec{tag: 1, channels: 1, rate: audio.Rate, bits: 16}, nil)
	use := func(minutes int) uint64 {
		readers := []io.Reader{bytes.NewReader(header)}
		for range minutes {
			readers = append(readers, bytes.NewReader(minute))
		}
		s, err := audio.Open(t.Context(), io.MultiReader(readers...), noFFmpeg)
		require.NoError(t, err)
		defer s.Close()
		buf := make([]float32, 8192)
		return allocatedBytes(func() {
			for err == nil {
				_, err = s.Read(buf)
			}
		})
	}
	short, long := use(1), use(30)
	assert.Less(t, long, short+1<<20, "one minute takes %d bytes", short)
}

// zeros has no end.
type zeros struct{ given atomic.Int64 }

func (z *zeros) Read(p []byte) (int, error) {
	clear(p)
	z.given.Add(int64(len(p)))
	return len(p), nil
}

func TestEndlessJunkBehindTheSoundEndsIt(t *testing.T) {
	for _, c := range compressed {
		if c.format == "mp4" {
			continue // all of it is read first
		}
		t.Run(c.file, func(t *testing.T) {
			file := readFixture(t, c.file)
			junk := &zeros{}
			res, err := decode(t.Context(), io.MultiReader(bytes.NewReader(file), junk), noFFmpeg)
			require.NoError(t, err)
			assert.InDelta(t, fixtureSeconds, res.info.Duration.Seconds(), 0.05)
			assert.Less(t, junk.given.Load(), int64(16<<20))
			for _, head := range []int{4, 40, 200} {
				junk = &zeros{}
				_, _ = decode(t.Context(), io.MultiReader(bytes.NewReader(file[:head]), junk), noFFmpeg)
				assert.Less(t, junk.given.Load(), int64(16<<20), "behind %d bytes", head)
			}
		})
	}
}
