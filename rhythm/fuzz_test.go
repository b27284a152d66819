package rhythm_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func FuzzParse(f *testing.F) {
	for _, seed := range [][2]string{
		{"x x xx x", "4/4"},
		{"x..x..x...x.x...", "4/4"},
		{"|x.x xx.|\n. x |", "6/8"},
		{"xxx", "3/8"},
		{"x xx xxx", "7/8=2+2+3"},
		{"X S P N -", "5/4=3+2"},
		{"x", "4/4"},
		{"x || x", "2/4"},
		{"xé\t|", "2/2"},
		{"xxxxxxxxxxxxxxxxx x", "2/4"},
		{"\xff", "3/4"},
		{". . . xx | x x x x", "4/4"},
		{"x.xxxxx xxxxxxxxxxxxxxxx", "6/16"},
		{"", "4/4"},
		{"|", "12/8"},
	} {
		f.Add(seed[0], seed[1])
	}
	f.Fuzz(func(t *testing.T, notation, meter string) {
		m, err := rhythm.ParseMeter(meter)
		if err != nil {
			return
		}
		p, remarks, err := rhythm.Inspect(notation, m, rhythm.DefaultTempo)
		if err != nil {
			var mistake *rhythm.NotationError
			require.ErrorAs(t, err, &mistake)
			require.Positive(t, mistake.Line)
			require.Positive(t, mistake.Column)
			require.NotEmpty(t, mistake.Advice)
			mistake.Excerpt()
			return
		}
		for _, r := range remarks {
			require.NotEmpty(t, r.Text)
			require.Positive(t, r.Line)
			require.Positive(t, r.Column)
		}
		require.NotEmpty(t, p.Strokes())
		last := -1
		for _, s := range p.Strokes() {
			require.Greater(t, s.Step, last)
			last = s.Step
		}
		require.Less(t, last, p.Steps())
		again, err := rhythm.Parse(p.String(), m, rhythm.DefaultTempo)
		require.NoError(t, err)
		require.True(t, p.Equal(again))
		require.Equal(t, p.String(), again.String())
		again, err = rhythm.Parse(p.Written(), m, rhythm.DefaultTempo)
		require.NoError(t, err)
		require.True(t, p.Equal(again))
		require.Equal(t, p.Written(), again.Written())
	})
}
