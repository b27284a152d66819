package rhythm_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// Which signatures are compound, and that their beat is a dotted note, is common practice, no
// source.
func TestMeters(t *testing.T) {
	for _, test := range []struct {
		law, text, printed string
		kind               rhythm.Kind
		beats              []int // lengths in written units
		groups             []int
		strong             []int // beats from 0
		tempoQuarters      float64
	}{
		{
			"four quarters are simple, with two strong beats", "4/4", "4/4", rhythm.Simple,
			[]int{1, 1, 1, 1},
			nil,
			[]int{0, 2},
			1,
		},
		{
			"three quarters have one strong beat", "3/4", "3/4", rhythm.Simple,
			[]int{1, 1, 1},
			nil,
			[]int{0},
			1,
		},
		{"two halves count halves", "2/2", "2/2", rhythm.Simple, []int{1, 1}, nil, []int{0}, 2},
		{
			"six eighths are two beats of three", "6/8", "6/8", rhythm.Compound,
			[]int{3, 3},
			nil,
			[]int{0},
			1.5,
		},
		{
			"nine eighths are three beats of three", "9/8", "9/8", rhythm.Compound,
			[]int{3, 3, 3},
			nil,
			[]int{0},
			1.5,
		},
		{
			"twelve eighths are four beats of three, two of them strong", "12/8", "12/8",
			rhythm.Compound,
			[]int{3, 3, 3, 3},
			nil,
			[]int{0, 2},
			1.5,
		},
		{"three eighths are one beat", "3/8", "3/8", rhythm.Compound, []int{3}, nil, []int{0}, 1.5},
		{
			"six sixteenths are two short beats of three", "6/16", "6/16", rhythm.Compound,
			[]int{3, 3},
			nil,
			[]int{0},
			0.75,
		},
		{
			"unequal beats are additive and count quarters", "7/8=2+2+3", "7/8=2+2+3", rhythm.Additive,
			[]int{2, 2, 3},
			[]int{2, 2, 3},
			[]int{0},
			1,
		},
		{
			"the long beat may come first", "5/8=3+2", "5/8=3+2", rhythm.Additive,
			[]int{3, 2},
			[]int{3, 2},
			[]int{0},
			1,
		},
		{
			"four unequal beats have no half of a bar", "9/8=2+2+2+3", "9/8=2+2+2+3", rhythm.Additive,
			[]int{2, 2, 2, 3},
			[]int{2, 2, 2, 3},
			[]int{0},
			1,
		},
		{
			"groups of three alone are the plain compound metre", "6/8=3+3", "6/8", rhythm.Compound,
			[]int{3, 3},
			nil,
			[]int{0},
			1.5,
		},
		{
			"groups of two alone are quarters written in eighths", "6/8=2+2+2", "6/8=2+2+2",
			rhythm.Simple,
			[]int{2, 2, 2},
			[]int{2, 2, 2},
			[]int{0},
			1,
		},
		{
			"a grouping of quarters marks strong beats and keeps five", "5/4=3+2", "5/4=3+2",
			rhythm.Simple,
			[]int{1, 1, 1, 1, 1},
			[]int{3, 2},
			[]int{0, 3},
			1,
		},
		{
			"five quarters need no grouping", "5/4", "5/4", rhythm.Simple,
			[]int{1, 1, 1, 1, 1},
			nil,
			[]int{0},
			1,
		},
		{
			"white space is ignored", " 7 / 8 = 3 + 2 + 2 ", "7/8=3+2+2", rhythm.Additive,
			[]int{3, 2, 2},
			[]int{3, 2, 2},
			[]int{0},
			1,
		},
	} {
		t.Run(test.law, func(t *testing.T) {
			m, err := rhythm.ParseMeter(test.text)
			require.NoError(t, err)
			assert.Equal(t, test.printed, m.String())
			assert.Equal(t, test.kind, m.Kind())
			assert.Equal(t, len(test.beats), m.Beats())
			assert.Equal(t, test.groups, m.Groups())
			assert.InDelta(t, test.tempoQuarters, m.TempoQuarters(), 1e-15)
			sum := 0
			var strong []int
			for i, want := range test.beats {
				assert.Equal(t, want, m.BeatUnits(i), "beat %d", i)
				sum += m.BeatUnits(i)
				if m.StrongBeat(i) {
					strong = append(strong, i)
				}
			}
			assert.Equal(t, m.Count(), sum, "beats fill the bar")
			assert.Equal(t, test.strong, strong)
			again, err := rhythm.ParseMeter(m.String())
			require.NoError(t, err)
			assert.True(t, m == again, "printing and reading gives the same metre")
			assert.False(t, m.IsZero())
		})
	}
}

func TestMeterErrorsSayWhereAndWhatToWrite(t *testing.T) {
	for text, want := range map[string]string{
		"":            `column 1: "" is not a metre; write for example "4/4", "6/8" or "7/8=2+2+3"`,
		"waltz":       `column 1: "waltz" is not a metre; write for example "4/4", "6/8" or "7/8=2+2+3"`,
		"x/4":         `column 1: "x" is not a number of beats; write a whole number from 1 to 32 before the stroke`,
		"0/4":         `column 1: "0" is not a number of beats; write a whole number from 1 to 32 before the stroke`,
		"33/8":        `column 1: "33" is not a number of beats; write a whole number from 1 to 32 before the stroke`,
		"4/":          `column 3: "" is not a note value; write 2, 4, 8 or 16 after the stroke`,
		"12/5":        `column 4: "5" is not a note value; write 2, 4, 8 or 16 after the stroke`,
		"5/8":         `column 1: 5/8 does not say where its beats are; write 5/8=2+3 or 5/8=3+2`,
		"7/8":         `column 1: 7/8 does not say where its beats are; write 7/8=2+2+3 or 7/8=3+2+2`,
		"8/8":         `column 1: 8/8 does not say where its beats are; write 8/8=3+3+2`,
		"10/8":        `column 1: 10/8 does not say where its beats are; write 10/8=2+2+2+2+2`,
		"11/16":       `column 1: 11/16 does not say where its beats are; write 11/16=2+2+2+2+3 or 11/16=3+2+2+2+2`,
		"7/8=2+2+2":   `column 5: the groups add up to 6, not 7; write for example 7/8=2+2+3`,
		"5/4=3+3":     `column 5: the groups add up to 6, not 5; write for example 5/4=3+2`,
		"7/8=4+3":     `column 5: a beat of 4 units is not possible in 7/8; write groups of 2 and 3, for example 7/8=2+2+3`,
		"7/8=3+4":     `column 7: a beat of 4 units is not possible in 7/8; write groups of 2 and 3, for example 7/8=2+2+3`,
		"7/8=":        `column 5: "" is not the size of a group; write sizes joined by +, for example "7/8=2+2+3"`,
		"7/8=2+two+3": `column 7: "two" is not the size of a group; write sizes joined by +, for example "7/8=2+2+3"`,
		"7/8=2+2+3=7": `column 9: "3=7" is not the size of a group; write sizes joined by +, for example "7/8=2+2+3"`,
		"1/8=3":       `column 5: the groups add up to 3, not 1; write for example 1/8`,
		"18/4=1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1": `column 38: too many groups; write at most 16 groups`,
	} {
		t.Run(text, func(t *testing.T) {
			m, err := rhythm.ParseMeter(text)
			var notation *rhythm.NotationError
			require.ErrorAs(t, err, &notation)
			assert.Equal(t, want, err.Error())
			assert.Equal(t, text, notation.Source)
			assert.True(t, m.IsZero())
		})
	}
}

func TestEveryMetreAnErrorSuggestsIsAMetre(t *testing.T) {
	suggested := 0
	check := func(text string) {
		_, err := rhythm.ParseMeter(text)
		var notation *rhythm.NotationError
		if !errors.As(err, &notation) {
			return
		}
		for word := range strings.FieldsSeq(notation.Advice) {
			if !strings.Contains(word, "/") {
				continue
			}
			_, err := rhythm.ParseMeter(strings.Trim(word, `",`))
			assert.NoError(t, err, "%s suggests %s", text, word)
			suggested++
		}
	}
	for count := 1; count <= 32; count++ {
		for _, unit := range []int{2, 4, 8, 16} {
			check(fmt.Sprintf("%d/%d", count, unit))
			check(fmt.Sprintf("%d/%d=4", count, unit))
			check(fmt.Sprintf("%d/%d=2+3", count, unit))
		}
	}
	assert.Greater(t, suggested, 200)
}

func TestKindsHaveNames(t *testing.T) {
	assert.Equal(t, "simple compound additive",
		fmt.Sprint(rhythm.Simple, " ", rhythm.Compound, " ", rhythm.Additive))
}

func TestMustParseMeterPanicsOnAMistake(t *testing.T) {
	assert.Panics(t, func() { rhythm.MustParseMeter("7/8") })
}

func FuzzParseMeter(f *testing.F) {
	for _, seed := range []string{
		"4/4", "6/8", "7/8=2+2+3", "5/4=3+2", " 3 / 4 ", "5/8", "1/8=3",
		"32/16=2+2", "é/4", "4/4=", "+4/4",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, err := rhythm.ParseMeter(text)
		if err != nil {
			var notation *rhythm.NotationError
			require.ErrorAs(t, err, &notation)
			require.Positive(t, notation.Column)
			require.NotEmpty(t, notation.Advice)
			notation.Excerpt()
			return
		}
		again, err := rhythm.ParseMeter(m.String())
		require.NoError(t, err)
		require.Equal(t, m, again)
		units := 0
		for i := range m.Beats() {
			units += m.BeatUnits(i)
		}
		require.Equal(t, m.Count(), units)
		require.True(t, m.StrongBeat(0))
	})
}
