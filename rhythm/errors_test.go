package rhythm_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestNotationErrorsRendered(t *testing.T) {
	for _, test := range []struct{ law, meter, notation, line, excerpt string }{
		{
			"nothing", "4/4", " \n", `column 1: the phrase is empty; write boxes, for example "x x xx x"`, " \n^",
		},
		{
			"only a bar line", "4/4", "|", `column 1: the phrase is empty; write boxes, for example "x x xx x"`, "|\n^",
		},
		{
			"silence", "3/4", "| . . .", `column 3: the phrase has no stroke; write at least one x, for example "x x x"`, "| . . .\n  ^",
		},
		{
			"one clap is not a bar of four", "4/4", "x", `column 1: a run of 1 box does not divide a bar of 4/4, which has 4 beats; write a multiple of 4 boxes, or separate the beats by spaces, for example "x x x x"`, "x\n^",
		},
		{
			"three boxes are not two beats", "6/8", "x x | xxx", `column 7: a run of 3 boxes does not divide a bar of 6/8, which has 2 beats; write a multiple of 2 boxes, or separate the beats by spaces, for example "x x"`, "x x | xxx\n      ^",
		},
		{
			"an additive run counts units", "7/8=2+2+3", "xxx", `column 1: a run of 3 boxes does not divide a bar of 7/8=2+2+3, which has 7 units; write a multiple of 7 boxes, or separate the beats by spaces, for example "x x x"`, "xxx\n^",
		},
		{
			"too few beats point at the last", "4/4", "x x xx", `column 5: bar 1 has 3 beats, 4/4 has 4; write "." for each silent beat, for example "x x x x"`, "x x xx\n    ^",
		},
		{
			"too many beats point at the first too many", "3/4", "x x x | x x x xx x", `column 15: bar 2 has 5 beats, 3/4 has 3; put "|" before the next bar, or join the boxes of one beat without a space`, "x x x | x x x xx x\n              ^",
		},
		{
			"an empty bar", "2/4", "x x || x x", `column 6: an empty bar; write a silent bar as "." beats, for example ". . . ."`, "x x || x x\n     ^",
		},
		{
			"seventeen boxes", "2/4", "x xxxxxxxxxxxxxxxxx",
			"column 3: a beat of 17 boxes; write at most 16 boxes a beat", "x xxxxxxxxxxxxxxxxx\n  ^",
		},
		{
			"a run with too many boxes a beat", "2/4", strings.Repeat("x", 34),
			"column 1: a beat of 17 boxes; write at most 16 boxes a beat",
			strings.Repeat("x", 34) + "\n^",
		},
		{
			"an unknown letter", "4/4", "x k x x", `column 3: 'k' is not a box; write x clap, s stamp, p pat, n snap (capital: accent), . empty`, "x k x x\n  ^",
		},
		{
			"a one is a clap", "4/4", "1 1 1 1", `column 1: '1' is not a box; write "x" for a clap`, "1 1 1 1\n^",
		},
		{
			"a nought is empty", "4/4", "x 0 x x", `column 3: '0' is not a box; write "." for an empty box`, "x 0 x x\n  ^",
		},
		{
			"a comma is no separator", "4/4", "x, x", `column 2: ',' is not a box; write "|" between bars and a space between beats`, "x, x\n ^",
		},
		{
			"the second line", "4/4", "x x x x |\r\nx x y x\r\n", `line 2, column 5: 'y' is not a box; write x clap, s stamp, p pat, n snap (capital: accent), . empty`, "x x y x\n    ^",
		},
		{
			"tabs keep their width", "4/4", "x\tx\té x",
			"column 5: 'é' is not a box; write x clap, s stamp, p pat, n snap (capital: accent), . empty", "x\tx\té x\n \t \t^",
		},
		{
			"an accent of its own has no width", "4/4", "x x\u0301 x x",
			"column 4: '\u0301' is not a box; write x clap, s stamp, p pat, n snap (capital: accent), . empty", "x x\u0301 x x\n   ^",
		},
		{
			"a letter that is not text", "4/4", "x \xff",
			"column 3: '\ufffd' is not a box; write x clap, s stamp, p pat, n snap (capital: accent), . empty", "x \xff\n  ^",
		},
	} {
		t.Run(test.law, func(t *testing.T) {
			p, err := rhythm.Parse(test.notation, rhythm.MustParseMeter(test.meter), 96)
			var notation *rhythm.NotationError
			require.ErrorAs(t, err, &notation)
			assert.Equal(t, test.line, err.Error())
			assert.Equal(t, test.excerpt, notation.Excerpt())
			assert.Equal(t, test.notation, notation.Source)
			assert.True(t, p.IsZero())
		})
	}
}

func TestExcerpt(t *testing.T) {
	for _, test := range []struct {
		law  string
		err  rhythm.NotationError
		want string
	}{
		{
			"accented letters count as one",
			rhythm.NotationError{Source: "é ü y", Line: 1, Column: 5},
			"é ü y\n    ^",
		},
		{"a combining accent takes no room", rhythm.NotationError{
			Source: "e\u0301 y", Line: 1,
			Column: 4,
		}, "e\u0301 y\n  ^"},
		{"a place behind the line", rhythm.NotationError{Source: "x", Line: 1, Column: 4}, "x\n   ^"},
		{"a line that is not there", rhythm.NotationError{Source: "x", Line: 2, Column: 1}, ""},
		{"no line", rhythm.NotationError{Source: "x"}, ""},
	} {
		t.Run(test.law, func(t *testing.T) { assert.Equal(t, test.want, test.err.Excerpt()) })
	}
	assert.Equal(t, "column 3: odd", (&rhythm.NotationError{
		Line: 1, Column: 3,
		Message: "odd",
	}).Error(), "no advice, no semicolon")
}

func TestParseRefusesTempiAndMetresOutOfRange(t *testing.T) {
	four := rhythm.MustParseMeter("4/4")
	for _, tempo := range []float64{0, 19.9, 400.1, -96, math.NaN(), math.Inf(1)} {
		_, err := rhythm.Parse("xxxx", four, tempo)
		assert.ErrorContains(t, err, "is outside 20 to 400 beats a minute")
	}
	for _, tempo := range []float64{20, 400} {
		_, err := rhythm.Parse("xxxx", four, tempo)
		assert.NoError(t, err)
	}
	_, err := rhythm.Parse("xxxx", rhythm.Meter{}, 96)
	assert.EqualError(t, err, `column 1: the phrase has no metre; give one, for example "4/4"`)
}

func TestHugeTextIsRefusedAtOnce(t *testing.T) {
	_, err := rhythm.Parse(strings.Repeat(" ", 1<<20), rhythm.MustParseMeter("4/4"), 96)
	var notation *rhythm.NotationError
	require.ErrorAs(t, err, &notation)
	assert.EqualError(t, err, "column 1: the phrase is too long to be one; write at most 64 bars")
	assert.Less(t, len(notation.Source), 100, "the error does not hold on to the text")
}

func TestMustParsePanicsOnAMistake(t *testing.T) {
	assert.Panics(t, func() { rhythm.MustParse("x", "4/4", 96) })
	assert.Panics(t, func() { rhythm.MustParse("x x x x", "4", 96) })
}
