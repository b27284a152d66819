package plan

import (
	"encoding/json"
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func writtenCard(t testing.TB) (*Card, string) {
	t.Helper()
	card, err := NewCard(slipBank(), CardOptions{Calls: 8})
	require.NoError(t, err)
	data, err := json.Marshal(card)
	require.NoError(t, err)
	return card, string(data)
}

func TestACardThatWasWrittenIsReadBack(t *testing.T) {
	card, text := writtenCard(t)
	got, err := ReadCard([]byte(text))
	require.NoError(t, err)
	assert.Equal(t, card, got)
	way := []bool{true, false, true}
	want, _ := card.Follow(way)
	calls, _ := got.Follow(way)
	assert.Equal(t, want, calls)
}

func TestWhatIsNotACardIsRefusedWithItsPlace(t *testing.T) {
	_, text := writtenCard(t)
	change := func(old, new string) string {
		require.Contains(t, text, old)
		return strings.Replace(text, old, new, 1)
	}
	for want, text := range map[string]string{
		"not the JSON of a card":           "x x x x",
		`its schema is "", not`:            "{}",
		"the card has no ends":             `{"schema":"clapladder/card/1"}`,
		"more than 12":                     `{"schema":"clapladder/card/1","branch":[` + strings.Repeat("{},", 120) + `{}]}`,
		`has call "../A1" at the place of`: change(`"place":"A1"`, `"place":"../A1"`),
		`at the place of A2`:               change(`"column":1`, `"column":2`),
		"opening call 1: ":                 change(`"notation":"x x x x"`, `"notation":"x x q x"`),
		"opening call 1: tempo":            change(`"tempo_bpm":96`, `"tempo_bpm":9600`),
	} {
		_, err := ReadCard([]byte(text))
		assert.ErrorContains(t, err, want)
	}
	var card map[string]any
	require.NoError(t, json.Unmarshal([]byte(text), &card))
	for _, test := range []struct {
		key  string
		keep int
		want string
	}{
		{"ends", 2, "leads to no end"},
		{"branch", 20, "the card has 20 branching calls, not 21"},
	} {
		changed := maps.Clone(card)
		changed[test.key] = card[test.key].([]any)[:test.keep]
		data, err := json.Marshal(changed)
		require.NoError(t, err)
		_, err = ReadCard(data)
		assert.ErrorContains(t, err, test.want)
	}
}

func FuzzReadCard(f *testing.F) {
	_, text := writtenCard(f)
	f.Add([]byte(text))
	f.Add([]byte(`{"schema":"clapladder/card/1","ends":[{},{}],"branch":[{"place":"A1","notation":"x","meter":"1/4","tempo_bpm":96}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		card, err := ReadCard(data)
		if err != nil {
			return
		}
		for _, way := range [][]bool{nil, {true}, {false, false}, make([]bool, mostCalls)} {
			calls, _ := card.Follow(way)
			for _, call := range calls {
				assert.False(t, call.Rhythm.IsZero())
			}
		}
	})
}
