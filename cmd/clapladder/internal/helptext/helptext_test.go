package helptext

import (
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type program struct {
	Large bool `help:"${large}"`
	Moor  struct {
		Rope string `arg:"" help:"Rope to take. ${from}"`
		Turn int    `default:"3" help:"${moor_turn}"`
	} `cmd:"" help:"${moor}"`
}

func TestTextsStandForTheirNames(t *testing.T) {
	parser, err := kong.New(&program{}, Use(
		Texts{"large": "Take long ropes.", "from": "Default: ${berth}."},
		Texts{"moor": "Tie up.", "moor_turn": "How many turns. Default: ${default}. ${from}"},
	), kong.Vars{"berth": "the nearest"})
	require.NoError(t, err)
	command := parser.Model.Children[0]
	assert.Equal(t, "Take long ropes.", parser.Model.Flags[len(parser.Model.Flags)-1].Help)
	assert.Equal(t, "Tie up.", command.Help)
	assert.Equal(t, "Rope to take. Default: the nearest.", command.Positional[0].Help)
	assert.Equal(t, "How many turns. Default: 3. Default: the nearest.", command.Flags[0].Help)
}

func TestTablesAndTagsMustAgree(t *testing.T) {
	whole := Texts{"large": "L", "from": "F", "moor": "M", "moor_turn": "T"}
	for name, c := range map[string]struct {
		tables []Texts
		want   string
	}{
		"a name that nothing stands for": {[]Texts{{"large": "L"}}, "undefined variable"},
		"a text without a place": {
			[]Texts{whole, {"moor_knot": "K"}}, `the help text "moor_knot" is used nowhere`,
		},
		"a name with two texts": {[]Texts{whole, {"moor": "N"}}, `the help text "moor" is there twice`},
	} {
		_, err := kong.New(&program{}, Use(c.tables...))
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), c.want, name)
	}
}
