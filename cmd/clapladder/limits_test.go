package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/patterns/bank"
)

func TestWhatIsBeyondALimitIsRefusedUnlessAskedFor(t *testing.T) {
	var phrases strings.Builder
	phrases.WriteString("id,meter,rhythm\n")
	for i := range bank.DefaultMaxEntries + 1 {
		fmt.Fprintf(&phrases, "a%d,1/4,x\n", i)
	}
	remarks := lunchBank + strings.Repeat("# a remark about the tide\n", bank.DefaultMaxBytes/26+1)
	var channels bytes.Buffer // a second of silence on nine channels
	channels.WriteString("RIFF\xff\xff\xff\x7fWAVEfmt \x10\x00\x00\x00\x01\x00\x09\x00")
	for _, n := range []uint32{8000, 8000 * 9} {
		require.NoError(t, binary.Write(&channels, binary.LittleEndian, n))
	}
	channels.WriteString("\x09\x00\x08\x00data")
	require.NoError(t, binary.Write(&channels, binary.LittleEndian, uint32(9*8000)))
	channels.Write(bytes.Repeat([]byte{128}, 9*8000))
	for _, test := range []struct{ command, input, want string }{
		{
			"show a1 --bank -", phrases.String(),
			"standard input, line 10002, column 1: more than 10000 phrases; split the bank into " +
				"several files, or add --large",
		},
		{
			"show ferry --bank -", remarks,
			"standard input: the file is larger than 4 MiB; split it into several files, or add --large",
		},
		{"respace -", remarks, "standard input: the file is larger than 4 MiB; split it into " +
			"several files, or add --large"},
		{
			"score -", channels.String(),
			"standard input: the recording has 9 channels, more than 8; mix it down, or add --large",
		},
		{
			"bursts -", channels.String(),
			"standard input: the recording has 9 channels, more than 8; mix it down, or add --large",
		},
		{
			"add -", channels.String(),
			"standard input: the recording has 9 channels, more than 8; mix it down, or add --large",
		},
	} {
		got := execute(t, test.input, strings.Fields(test.command)...)
		assert.Equal(t, fault.ExitInput, got.status)
		assert.Empty(t, got.stdout)
		assert.Equal(t, "clapladder: "+test.want+"\n", got.stderr)
		got = execute(t, test.input, append(strings.Fields(test.command), "--large")...)
		assert.NotContains(t, got.stderr, "--large")
		if test.command != "add -" { // silence is no phrase
			assert.Zero(t, got.status, "%s: %s", test.command, got.stderr)
		}
	}
}
