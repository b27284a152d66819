package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/go-audio/wav"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// layout is what sound --json says of one file.
type layout struct {
	Place    string
	WAV      string
	MIDI     string
	Seconds  float64 `json:"duration_s"`
	Sections []struct {
		Role   string
		Phrase *string
		Start  float64   `json:"start_s"`
		End    float64   `json:"end_s"`
		Clicks []float64 `json:"clicks_s"`
		Notes  []struct {
			Time float64 `json:"time_s"`
		}
	}
}

// laidOut runs sound with --json.
func laidOut(t *testing.T, args ...string) []layout {
	t.Helper()
	got := execute(t, "", append([]string{"sound", "--json"}, args...)...)
	require.Zero(t, got.status, got.stderr)
	var list []layout
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &list))
	return list
}

// At 120 beats a minute a beat lasts 0.5 s and a bar of 2/4 one second, so the times of the file
// can be worked out by hand.
func TestSoundListsItsSectionsForPrograms(t *testing.T) {
	got := execute(t, "", "sound", "--rhythm", "X .s", "--meter", "2/4", "--tempo", "120",
		"--answer", "--click", "--json")
	require.Zero(t, got.status, got.stderr)
	assert.Empty(t, got.stderr)
	expectFile(t, "sound.json", got.stdout)
}

func TestListedTimesAreWhereTheFileSounds(t *testing.T) {
	folder := t.TempDir()
	path, midi := filepath.Join(folder, "a.wav"), filepath.Join(folder, "a.mid")
	list := laidOut(t, "bell", "bollard", "--repeat", "2", "--wav", path, "--midi", midi)
	require.Len(t, list, 1)
	assert.Equal(t, path, list[0].WAV)
	assert.Equal(t, midi, list[0].MIDI)
	assert.FileExists(t, midi)

	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	decoded, err := wav.NewDecoder(f).FullPCMBuffer()
	require.NoError(t, err)
	rate := float64(decoded.Format.SampleRate)
	assert.InDelta(t, float64(len(decoded.Data))/rate, list[0].Seconds, 1e-3)
	sample := func(at float64) int { return max(0, int(math.Round(at*rate))) }
	energy := func(from, to float64) float64 {
		sum := 0.0
		for _, v := range decoded.Data[sample(from):sample(to)] {
			sum += float64(v) * float64(v)
		}
		return sum
	}
	end, sounds := 0.0, 0
	var called []string
	for _, section := range list[0].Sections {
		assert.InDelta(t, end, section.Start, 1e-9, "a section begins where the other ends")
		end = section.End
		times := section.Clicks
		for _, note := range section.Notes {
			times = append(times, note.Time)
		}
		for _, at := range times {
			assert.Greater(t, energy(at, at+0.01), 100*energy(at-0.01, at-0.0001), "%s at %g s",
				section.Role, at)
		}
		sounds += len(times)
		switch section.Role {
		case "call":
			called = append(called, *section.Phrase)
			assert.NotEmpty(t, section.Notes)
		case "gap", "pause":
			assert.Empty(t, times)
		}
	}
	assert.InDelta(t, list[0].Seconds, end, 1e-9)
	assert.Equal(t, []string{"bell", "bell", "bollard", "bollard"}, called)
	assert.Equal(t, 4+2*3+2*4, sounds, "count-in, x . x x twice, x . . | x x x twice")
}

func TestSoundListsEveryFileOfACardForPrograms(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "calls")
	list := laidOut(t, "--card", cardFile(t), "--folder", folder)
	require.Len(t, list, 1+6*7/2+1)
	for _, file := range list {
		assert.Equal(t, filepath.Join(folder, file.Place+".wav"), file.WAV)
		assert.FileExists(t, file.WAV)
		require.Len(t, file.Sections, 3, "count-in, call and gap")
		assert.Equal(t, "call", file.Sections[1].Role)
	}
	assert.Equal(t, "begin-1", list[0].Place)
	for _, file := range list {
		if file.Place == "A2" {
			assert.Equal(t, "clave", *file.Sections[1].Phrase)
		}
	}
}

func TestSoundForProgramsAloneWritesNoFile(t *testing.T) {
	card := cardFile(t)
	t.Chdir(t.TempDir())
	list := laidOut(t, "--card", card, "--way", "got,lost")
	require.Len(t, list, 1)
	assert.Empty(t, list[0].WAV)
	files, err := os.ReadDir(".")
	require.NoError(t, err)
	assert.Empty(t, files)
}
