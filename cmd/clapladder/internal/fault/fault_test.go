package fault

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

// moored is an error that knows its status.
type moored struct{ status int }

func (*moored) Error() string     { return "moored already" }
func (m *moored) ExitStatus() int { return m.status }

func TestEveryErrorIsOneLineAndTheStatusItMeans(t *testing.T) {
	_, twoProblems := bank.Load("tide.toml", []byte("[[phrase]]\n[[phrase]]\n"))
	require.Error(t, twoProblems)
	_, notation := rhythm.Parse("x .y x x", rhythm.MustParseMeter("4/4"), 96)
	require.Error(t, notation)
	for law, test := range map[string]struct {
		err    error
		status int
		want   string // how it begins
	}{
		"a wrong command line says where help is": {
			&UsageError{Message: "name a rope", Command: "moor"}, ExitUsage,
			"clapladder: name a rope\nTry: clapladder moor --help\n",
		},
		"of the program as a whole too": {
			Usage("no rope %d", 3), ExitUsage, "clapladder: no rope 3\nTry: clapladder --help\n",
		},
		"a file is named once": {
			Input("a.wav", errors.New("too wet")), ExitInput, "clapladder: a.wav: too wet\n",
		},
		"standard input is named in words": {
			BadInput("-", "too wet"), ExitInput, "clapladder: standard input: too wet\n",
		},
		"a name does nothing to the terminal": {
			BadInput("a\x1b[2J", "too wet"), ExitInput, `clapladder: a\x1b[2J: too wet` + "\n",
		},
		"nor does anything else in an error": {
			errors.New("rope \x1b[2J"), ExitFailed, `clapladder: rope \x1b[2J` + "\n",
		},
		"lines become one":        {errors.New("rope\n\tbroke"), ExitFailed, "clapladder: rope broke\n"},
		"an interrupt is no news": {fmt.Errorf("x: %w", context.Canceled), ExitFailed, "clapladder: stopped\n"},
		"who knows the status says all": {
			fmt.Errorf("oh: %w", &moored{ExitUsage}), ExitUsage, "clapladder: oh: moored already\n",
		},
		"such as that of an input": {
			&moored{ExitInput}, ExitInput, "clapladder: moored already\n",
		},
		"sound that can't be read is an input": {
			&audio.Error{Kind: "not-sound"}, ExitInput, "clapladder: ",
		},
		"of several problems it says where the others are": {
			twoProblems, ExitInput, "clapladder: tide.toml, line ",
		},
		"a phrase is shown with its place": {
			Flag("--rhythm", notation), ExitInput, "clapladder: --rhythm: ",
		},
	} {
		t.Run(law, func(t *testing.T) {
			text, status := Explain(test.err)
			assert.Equal(t, test.status, status)
			assert.Equal(t, test.want, text[:min(len(text), len(test.want))])
			assert.Equal(t, status == ExitInput, IsInput(test.err))
		})
	}
	text, _ := Explain(twoProblems)
	assert.Contains(t, text, "; to see them all: clapladder check tide.toml\n")
	text, _ = Explain(Flag("--rhythm", notation))
	assert.Regexp(t, `\n +x \.y x x\n +\^`, text)
}

func TestPlainWordsLeaveThePathOut(t *testing.T) {
	for want, err := range map[string]error{
		"there is no such file; check the name and the folder": fs.ErrNotExist,
		"reading it is not allowed; check its permissions":     fs.ErrPermission,
		"too wet": errors.New("too wet"),
	} {
		assert.EqualError(t, Plain(&fs.PathError{Op: "open", Path: "a.wav", Err: err}), want)
	}
}
