package ffmpeg

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"clapladder.example/assess/audio/internal/codec"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFFmpegThatGetsStuckIsEnded(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("needs a shell")
	}
	program := filepath.Join(t.TempDir(), "fake")
	require.NoError(t, os.WriteFile(program, []byte("#!/bin/sh\nexec sleep 60\n"), 0o700))
	run, err := startFFmpeg(t.Context(), program, nil, nil, 50*time.Millisecond)
	require.NoError(t, err)
	defer run.close()
	_, err = run.open(t.Context(), &codec.Foreign{Container: codec.AMRFile}, codec.Options{}.WithDefaults())
	require.Error(t, err)
	assert.Contains(t, err.Error(), "ffmpeg got stuck on this AMR file")
}

func TestInstallCommandFitsTheSystem(t *testing.T) {
	assert.Equal(t, "brew install ffmpeg", installFFmpeg("darwin"))
	assert.Equal(t, "winget install ffmpeg", installFFmpeg("windows"))
	assert.Equal(t, "sudo apt install ffmpeg", installFFmpeg("linux"))
}
