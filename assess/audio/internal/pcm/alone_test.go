package pcm_test

import (
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// This package's tests import no other format.
func TestAProgramWithoutTheFormatsReadsWAVAndSaysSoOfOthers(t *testing.T) {
	file, err := os.Open("../../../../testdata/boatyard-lunch.wav")
	require.NoError(t, err)
	defer file.Close()
	stream, err := audio.Open(t.Context(), file, audio.Options{})
	require.NoError(t, err)
	require.NoError(t, stream.Close())

	for name, said := range map[string]string{
		"claps-44100.mp3": "MP3 is not decoded here", "claps.m4a": "MP4 is not decoded here",
		"claps.ogg": "Ogg is not decoded here", "claps-22050.flac": "FLAC is not decoded here",
	} {
		other, err := os.Open("../../testdata/" + name)
		require.NoError(t, err)
		_, err = audio.Open(t.Context(), other, audio.Options{})
		problem, ok := errors.AsType[*audio.Error](err)
		require.True(t, ok, name)
		assert.EqualValues(t, "unsupported", problem.Kind, name)
		assert.Equal(t, said, problem.Message)
		require.NoError(t, other.Close())
	}
}

func TestTheScorerLinksNoFormatByItself(t *testing.T) {
	command := exec.Command("go", "list", "-deps", "clapladder.example/assess")
	packages, err := command.Output()
	require.NoError(t, err)
	for _, module := range []string{
		"go-aac", "audio/mp3", "mewkiz/flac", "jfreymuth/vorbis",
		"pion/opus", "os/exec",
	} {
		for line := range strings.Lines(string(packages)) {
			assert.NotContains(t, line, module)
		}
	}
}
