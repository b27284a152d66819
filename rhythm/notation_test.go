package rhythm_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestNotationRules(t *testing.T) {
	for _, test := range []struct{ law, meter, notation, printed string }{
		{"one box a beat is a clap on it", "4/4", "x x x x", "x x x x"},
		{"two boxes are eighths, a dot is empty", "4/4", "xx .x x .", "xx .x x ."},
		{"four boxes are sixteenths", "4/4", "x.xx x x x", "x.xx x x x"},
		{"three boxes are a triplet", "4/4", "xxx x . x", "xxx x . x"},
		{"five boxes are a quintuplet", "4/4", "x.x.x x x x", "x.x.x x x x"},
		{"sixteen boxes a beat are the most", "4/4", "x..............x x x x", "x..............x x x x"},
		{"a minus is an empty box", "4/4", "x- - x -x", "x . x .x"},
		{"the four sounds", "4/4", "x s p n", "x s p n"},
		{"upper case is accented", "4/4", "X S P N", "X S P N"},
		{"beats need no more boxes than their strokes", "4/4", "x... x.x. .... ..x.", "x xx . .x"},
		{"an unbroken run divides the bar", "4/4", "x..x..x...x.x...", "x..x .x .x x"},
		{"a run of four in 4/4 is four quarters", "4/4", "xxxx", "x x x x"},
		{"a run of eight in 4/4 is eighths", "4/4", "x.xxx.x.", "x xx x x"},
		{"a run of twelve in 4/4 is triplets", "4/4", "x.xx.xx.xx..", "x.x x.x x.x x"},
		{"a run of two in 2/4 is two quarters", "2/4", "xx", "x x"},
		{"a run of three in 3/4 is three quarters", "3/4", "xxx", "x x x"},
		{"a run of six in 6/8 is eighths", "6/8", "x.xx.x", "x.x x.x"},
		{"a run of four in 6/8 is two duplets", "6/8", "xxxx", "xx xx"},
		{"a run of two in 6/8 is the two beats", "6/8", "xx", "x x"},
		{"a run in an additive metre counts its units", "7/8=2+2+3", "x.x.x.x", "x x x.x"},
		{"a run of twice the units in an additive metre", "5/8=2+3", "x..xx.x...", "x..x xx."},
		{"the boxes of an additive beat divide that beat", "7/8=2+2+3", "x xx xxx", "x xx xxx"},
		{"a bar of one beat is one beat", "3/8", "xxx", "xxx"},
		{"a single clap in a bar of one beat", "3/8", "x", "x"},
		{"runs and beats may alternate by bar", "4/4", "xxxx | x x xx x", "x x x x | x x xx x"},
		{"tabs and line breaks separate beats", "4/4", "x\tx\nx\r\n x", "x x x x"},
		{"a no-break space separates beats", "4/4", "x x x x", "x x x x"},
		{"a line break does not end a bar", "4/4", "x x\nx x\n| x . . .", "x x x x | x . . ."},
		{"a leading bar line is ignored", "4/4", "| x x x x", "x x x x"},
		{"a trailing bar line is ignored", "4/4", "x x x x |\n", "x x x x"},
		{"bar lines need no space", "2/4", "|x x|xx x|", "x x | xx x"},
		{"a pickup is a full bar with silent beats first", "4/4", ". . . xx | x x x x", ". . . xx | x x x x"},
		{"a silent bar is written out", "2/4", "x x | . .", "x x | . ."},
		{"a silent run is a silent bar", "4/4", "x x x x | ....", "x x x x | . . . ."},
		{"grouped quarters keep five beats", "5/4=3+2", "x x x X x", "x x x X x"},
		{"two halves", "2/2", "x xxxx", "x xxxx"},
		{"quarters written in eighths", "6/8=2+2+2", "xx x x", "xx x x"},
	} {
		t.Run(test.law, func(t *testing.T) {
			p, err := rhythm.Parse(test.notation, rhythm.MustParseMeter(test.meter), 96)
			require.NoError(t, err)
			assert.Equal(t, test.printed, p.String())
			again, err := rhythm.Parse(p.String(), p.Meter(), 96)
			require.NoError(t, err)
			assert.True(t, p.Equal(again), "the printed phrase is the same phrase")
		})
	}
}

func TestSixtyFourBarsAreTheMost(t *testing.T) {
	meter := rhythm.MustParseMeter("4/4")
	p, err := rhythm.Parse(strings.Repeat("xxxx|", 64), meter, 96)
	require.NoError(t, err)
	assert.Equal(t, 64, p.Bars())
	_, err = rhythm.Parse(strings.Repeat("xxxx|", 65), meter, 96)
	assert.EqualError(t, err, "column 321: more than 64 bars; split the phrase in two")
}

func TestPhrasesAreEqualHoweverTheyAreWritten(t *testing.T) {
	for _, test := range []struct {
		law, meter, p, q string
		equal            bool
	}{
		{"empty boxes at the end of a beat", "2/4", "x.x. x", "xx x", true},
		{"run and beats", "4/4", "x.x.xxx.", "x x xx x", true},
		{"a beat of six and one of three in 6/8", "6/8", "x.x.x. x", "xxx x", true},
		{"additive run and beats", "5/8=2+3", "x.x.x", "x x.x", true},
		{"a place", "2/4", "x.x. x", "x.xx x", false},
		{"a triplet and an eighth", "2/4", "x.x x", "xx x", false},
		{"a sound", "2/4", "x x", "x s", false},
		{"an accent", "2/4", "x x", "X x", false},
		{"a silent bar at the end", "2/4", "x x", "x x | . .", false},
	} {
		t.Run(test.law, func(t *testing.T) {
			p, q := rhythm.MustParse(test.p, test.meter, 96), rhythm.MustParse(test.q, test.meter, 60)
			assert.Equal(t, test.equal, p.Equal(q))
			assert.Equal(t, test.equal, q.Equal(p))
			assert.Equal(t, test.equal, p.String() == q.String())
		})
	}
	assert.False(t, rhythm.MustParse("x x", "2/4", 96).Equal(rhythm.MustParse("x x", "2/2", 96)),
		"the metre counts")
}

func TestRemarksOnWhatMayNotBeMeant(t *testing.T) {
	type remark = rhythm.Remark
	for _, test := range []struct {
		law, meter, notation string
		want                 []remark
	}{
		{"separated beats need no remark", "4/4", "xx x x x", nil},
		{"a long run needs no remark", "4/4", "x..x..x...x.x...", nil},
		{"a run as long as a beat of sixteenths", "4/4", "x x x x |\nx.xx", []remark{
			{2, 1, `"x.xx" fills the whole bar, 1 box a beat; for one beat of it write the other beats too, for example "x.xx . . ."`},
		}},
		{"a run as long as a triplet", "3/4", "xxx", []remark{
			{1, 1, `"xxx" fills the whole bar, 1 box a beat; for one beat of it write the other beats too, for example "xxx . ."`},
		}},
		{"a run of two duplets", "6/8", "xxxx", []remark{
			{1, 1, `"xxxx" fills the whole bar, 2 boxes a beat; for one beat of it write the other beats too, for example "xxxx ."`},
		}},
		{"a run of six eighths", "6/8", "x.xx.x", []remark{
			{1, 1, `"x.xx.x" fills the whole bar, 3 boxes a beat; for one beat of it write the other beats too, for example "x.xx.x ."`},
		}},
		{"usual divisions of a compound beat", "12/8", "x xx xxx x.xxx.", nil},
		{"four and five boxes in a compound beat", "6/8", "xxxx  xxxxx", []remark{
			{1, 1, "4 boxes in a beat of three eighths is unusual; 1, 2, 3 or 6 are common"},
			{1, 7, "5 boxes in a beat of three eighths is unusual; 1, 2, 3 or 6 are common"},
		}},
		{"an unusual run points at each beat", "6/8", "xxxxxxxx", []remark{
			{1, 1, "4 boxes in a beat of three eighths is unusual; 1, 2, 3 or 6 are common"},
			{1, 5, "4 boxes in a beat of three eighths is unusual; 1, 2, 3 or 6 are common"},
		}},
	} {
		t.Run(test.law, func(t *testing.T) {
			_, remarks, err := rhythm.Inspect(test.notation, rhythm.MustParseMeter(test.meter), 96)
			require.NoError(t, err)
			assert.Equal(t, test.want, remarks)
		})
	}
}

func TestTheWritersBoxesAreKept(t *testing.T) {
	for _, test := range []struct {
		law, meter, notation, written string
		boxes                         []int
	}{
		{"one run a bar", "4/4", "x..x..x...x.x...", "x..x..x...x.x...", []int{4, 4, 4, 4}},
		{"more boxes than are needed", "4/4", "x... x.x. ..x. x", "x... x.x. ..x. x", []int{4, 4, 4, 1}},
		{"dashes for silence", "4/4", "x - xx x", "x - xx x", []int{1, 1, 2, 1}},
		{
			"white space and outer bar lines are put in order", "4/4", " | x  x\n. x |\tx x x x|",
			"x x . x | x x x x",
			[]int{1, 1, 1, 1, 1, 1, 1, 1},
		},
		{"units of an additive metre", "7/8=2+2+3", "x.x.x.x", "x.x.x.x", []int{2, 2, 3}},
	} {
		t.Run(test.law, func(t *testing.T) {
			p := rhythm.MustParse(test.notation, test.meter, 96)
			assert.Equal(t, test.written, p.Written())
			for i, n := range test.boxes {
				assert.Equal(t, n, p.WrittenBoxes(i))
			}
			slower := p.WithTempo(80)
			assert.Equal(t, test.written, slower.Written(), "the tempo is not written in boxes")
			twice, err := p.Repeat(2)
			require.NoError(t, err)
			assert.Equal(t, twice.String(), twice.Written(), "a phrase that was made was not written")
		})
	}
}
