package midifile_test

import (
	"bytes"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
)

func TestFilesThatGiveNoPhrase(t *testing.T) {
	good := write(t, rhythm.MustParse("x x x x", "4/4", 100), midifile.WriteOptions{})
	smpte := bytes.Clone(good)
	smpte[12], smpte[13] = 0xe7, 40
	format2 := bytes.Clone(good)
	format2[9] = 2
	change := raw(480, []byte{
		0, 0xff, 0x58, 4, 4, 2, 24, 8, 0, 0x99, 39, 90, 0x8f, 0, 0xff, 0x58,
		4, 3, 2, 24, 8, 0, 39, 90,
	})
	far := raw(1, []byte{0, 0x99, 39, 90, 0xff, 0x7f, 39, 90})
	for _, c := range []struct {
		name string
		data []byte
		text string
	}{
		{"nothing", nil, "not a Standard MIDI File"},
		{"text", []byte("x x xx x"), "export one"},
		{"header only", good[:10], "header"},
		{"cut off", good[:len(good)-5], "track 3 is cut off"},
		{"format 2", format2, "format 2"},
		{"film frames", smpte, "film frames"},
		{"no note", raw(480, []byte{0, 0xff, 0x2f, 0}), "no such note"},
		{"no ticks", raw(0, []byte{0, 0x90, 60, 90}), "no length"},
		{"a lying length", raw(480, []byte{0, 0xff, 1, 0xff, 0xff, 0xff, 0x7f}), "breaks off"},
		{
			"a number without end", raw(480, []byte{0xff, 0xff, 0xff, 0xff, 0xff, 0x7f, 0x90, 60, 90}),
			"four bytes",
		},
		{"data before a message", raw(480, []byte{0, 60, 90}), "where a message should begin"},
		{"a message inside a message", raw(480, []byte{0, 0x90, 0x90, 90}), "inside a message"},
		{"another metre inside", change, "the metre changes from 4/4 to 3/4"},
		{"too long", far, "bars"},
		{"too fast", tune(t, "4/4", 500, 9, 39, 80, 0), "tempo"},
		{"a metre of thirty-seconds", raw(480,
			[]byte{0, 0xff, 0x58, 4, 4, 5, 24, 8, 0, 0x99, 39, 90}), "4/32"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := midifile.Read(c.data, midifile.ReadOptions{})
			problem, ok := errors.AsType[*midifile.Error](err)
			require.True(t, ok, "%v", err)
			assert.Contains(t, err.Error(), c.text)
			assert.NotEmpty(t, problem.Advice)
			assert.NotContains(t, err.Error(), "\n")
		})
	}
	_, err := midifile.ReadTaps(raw(480, []byte{0, 0xff, 0x2f, 0}))
	require.ErrorContains(t, err, "no note")
	require.Error(t, midifile.Write(&bytes.Buffer{}, rhythm.Phrase{}, midifile.WriteOptions{}))
}

func TestManyEmptyChunksAreHarmless(t *testing.T) {
	data := raw(480)
	for range 300000 {
		data = append(data, 'M', 'o', 'o', 'r', 0, 0, 0, 0)
	}
	_, err := midifile.Read(data, midifile.ReadOptions{})
	require.Error(t, err)
	_, err = midifile.Read(make([]byte, 5<<20), midifile.ReadOptions{})
	problem, ok := errors.AsType[*midifile.Error](err)
	require.True(t, ok)
	assert.Contains(t, problem.Message, "more than")
}
