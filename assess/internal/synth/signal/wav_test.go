package signal

import (
	"bytes"
	"math"
	"testing"

	"github.com/go-audio/wav"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The reference reader is go-audio/wav 1.1.0, which reads 16-bit PCM correctly.
func TestWAVIsReadBackByAnotherLibrary(t *testing.T) {
	samples := []float32{0, 1, -1, 0.5, -0.25, 2, -3, float32(math.NaN()), 1.0 / 32768}
	var file bytes.Buffer
	require.NoError(t, WriteWAV(&file, samples, 16000))
	assert.Equal(t, 44+2*len(samples), file.Len())

	d := wav.NewDecoder(bytes.NewReader(file.Bytes()))
	buffer, err := d.FullPCMBuffer()
	require.NoError(t, err)
	assert.Equal(t, 16000, buffer.Format.SampleRate)
	assert.Equal(t, 1, buffer.Format.NumChannels)
	assert.Equal(t, 16, buffer.SourceBitDepth)
	assert.Equal(t, []int{0, 32767, -32768, 16384, -8192, 32767, -32768, 0, 1}, buffer.Data)
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, assert.AnError }

func TestWAVReportsErrors(t *testing.T) {
	assert.ErrorIs(t, WriteWAV(brokenWriter{}, make([]float32, 10), 16000), assert.AnError)
	assert.ErrorIs(t, WriteWAV(brokenWriter{}, make([]float32, 1<<17), 16000), assert.AnError)
	assert.Error(t, WriteWAV(&bytes.Buffer{}, nil, 0))
}
