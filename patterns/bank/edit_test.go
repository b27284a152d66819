package bank

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/rhythm"
)

const kept = `# Boatyard lunch hour
[[phrase]] # the first
id = "row"   # never change
  meter = "4/4"
  rhythm = "x  x x x" # plain
tags = ["opener"]

# Loved by all.
[[phrase]]
tier = 3 # they know it
id = "quay"
meter = "4/4"
rhythm = """
x x x x |
x . . ."""
# the end`

// setTier is SetPins for the tier of one phrase; a difficulty in the file stays.
func setTier(name string, src []byte, id string, tier int) ([]byte, error) {
	text, err := tierText(id, tier)
	if err != nil {
		return nil, err
	}
	return editBank(name, src, []textfile.Edit{{ID: id, Key: "tier", Value: text}})
}

// setDifficulty is SetPins for the difficulty of one phrase; a tier in the file stays.
func setDifficulty(name string, src []byte, id string, difficulty float64) ([]byte, error) {
	text, err := difficultyText(id, difficulty)
	if err != nil {
		return nil, err
	}
	return editBank(name, src, []textfile.Edit{{ID: id, Key: "difficulty", Value: text}})
}

func TestEditsTouchNothingElse(t *testing.T) {
	for _, c := range []struct {
		law        string
		edit       func(src []byte) ([]byte, error)
		old, fresh string
	}{
		{
			"a new tier goes below the rhythm, indented like it",
			func(src []byte) ([]byte, error) { return setTier("b", src, "row", 2) },
			"# plain\n", "# plain\n  tier = 2\n",
		},
		{
			"a tier is changed in place", func(src []byte) ([]byte,
				error,
			) {
				return setTier("b", src, "quay", 12)
			},
			"tier = 3 #", "tier = 12 #",
		},
		{
			"a comment outlives its tier", func(src []byte) ([]byte,
				error,
			) {
				return setTier("b", src, "quay", 0)
			},
			"tier = 3 # they", "# they",
		},
		{
			"taking out what is not there changes nothing",
			func(src []byte) ([]byte, error) { return setTier("b", src, "row", 0) },
			"", "",
		},
		{
			"a rhythm of several lines is stepped over",
			func(src []byte) ([]byte, error) { return setDifficulty("b", src, "quay", 4.125) },
			"x . . .\"\"\"\n", "x . . .\"\"\"\ndifficulty = 4.12\n",
		},
		{
			"both at once", func(src []byte) ([]byte, error) {
				return SetPins("b", src, []Pin{{ID: "row", Tier: 2, Difficulty: 2.3}})
			},
			"# plain\n", "# plain\n  tier = 2\n  difficulty = 2.3\n",
		},
		{
			"what was learned, with its source", func(src []byte) ([]byte, error) {
				return SetPins("b", src, []Pin{{
					ID: "row", Difficulty: 2.3, DifficultySD: 0.4,
					LearnedFrom: 6,
				}})
			},
			"# plain\n", "# plain\n  difficulty = 2.3\n  difficulty_sd = 0.4\n  learned_from = 6\n",
		},
		{
			"one in, one out", func(src []byte) ([]byte,
				error,
			) {
				return SetPins("b", src, []Pin{{ID: "quay", Difficulty: 3}})
			},
			"tier = 3 # they know it\nid = \"quay\"\nmeter = \"4/4\"\nrhythm = \"\"\"\nx x x x |\nx . . .\"\"\"\n",
			"# they know it\nid = \"quay\"\nmeter = \"4/4\"\nrhythm = \"\"\"\nx x x x |\nx . . .\"\"\"\ndifficulty = 3\n",
		},
		{"no pins, no change", func(src []byte) ([]byte, error) { return SetPins("b", src, nil) }, "", ""},
		{"a phrase is added at the end, after the last comment", func(src []byte) ([]byte, error) {
			return AppendPhrase("b", src, Entry{
				ID: "tie", Name: "Tie it fast",
				Phrase: rhythm.MustParse("x x x .", "4/4", 96), Tags: []string{"rest"},
			})
		}, "# the end", "# the end\n\n[[phrase]]\nid = \"tie\"\nname = \"Tie it fast\"\nmeter = \"4/4\"\ntempo = 96\nrhythm = \"x x x .\"\ntags = [\"rest\"]\n"},
	} {
		for name, dress := range map[string]func(string) string{
			"plain":             func(s string) string { return s },
			"Windows line ends": func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
			"byte-order mark":   func(s string) string { return "\xef\xbb\xbf" + s },
		} {
			src := []byte(dress(kept))
			got, err := c.edit(src)
			require.NoError(t, err, c.law)
			assert.Equal(t, dress(strings.Replace(kept, c.old, c.fresh, 1)), string(got), "%s: %s",
				c.law, name)
			assert.Equal(t, dress(kept), string(src), "%s: the argument is not changed", c.law)
		}
	}
}

func TestTablesInBracesAreEditedToo(t *testing.T) {
	src := `phrase = [{ id = "row", meter = "4/4", rhythm = "x x x x", tier = 2 }, { tier = 3, id = "quay", rhythm = "x x", meter = "2/4" }]` + "\n"
	for want, pins := range map[string][]Pin{
		`phrase = [{ id = "row", meter = "4/4", rhythm = "x x x x", difficulty = 1.5 }, { tier = 3, id = "quay", rhythm = "x x", meter = "2/4" }]`: {{ID: "row", Difficulty: 1.5}},
		`phrase = [{ id = "row", meter = "4/4", rhythm = "x x x x", tier = 9 }, { id = "quay", rhythm = "x x", meter = "2/4" }]`:                   {{ID: "row", Tier: 9}, {ID: "quay"}},
	} {
		got, err := SetPins("b", []byte(src), pins)
		require.NoError(t, err)
		assert.Equal(t, want+"\n", string(got))
	}
}

func TestSheetsAreEditedCellByCell(t *testing.T) {
	src := "sep=;\r\nID;meter;rhythm;tier;;\r\n\r\nrow;4/4;\"x x x x\";\"2\";;\r\nquay;4/4;x x xx x\r\n"
	got, err := setTier("b", []byte(src), "row", 3)
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(src, `"2"`, "3", 1), string(got))
	got, err = setTier("b", []byte(src), "row", 0)
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(src, `"2"`, "", 1), string(got))
	got, err = setTier("b", []byte(src), "quay", 4)
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(src, "xx x\r", "xx x;4\r", 1), string(got), "a short row is made longer")

	src = "id,meter,rhythm\nrow,4/4,x x x x\nquay,4/4,x x xx x\n"
	got, err = SetPins("b", []byte(src), []Pin{{ID: "quay", Tier: 2, Difficulty: 1.75}, {ID: "row"}})
	require.NoError(t, err)
	assert.Equal(t, "id,meter,rhythm,tier,difficulty\nrow,4/4,x x x x,,\nquay,4/4,x x xx x,2,1.75\n", string(got))

	got, err = AppendPhrase("b", []byte(src),
		Entry{ID: "tie", Tags: []string{"a", "b"}, Phrase: rhythm.MustParse("x x x .", "4/4", 96)})
	require.NoError(t, err)
	assert.Equal(t, "id,meter,rhythm,tempo,tags\nrow,4/4,x x x x,,\nquay,4/4,x x xx x,,\ntie,4/4,x x x .,96,\"a, b\"\n", string(got))
}

func TestAnEmptyFileBecomesABank(t *testing.T) {
	e := Entry{ID: "tie", Phrase: rhythm.MustParse("x x x .", "4/4", 96)}
	for name, want := range map[string]string{
		"new.toml": "[[phrase]]\nid = \"tie\"\nmeter = \"4/4\"\ntempo = 96\nrhythm = \"x x x .\"\n",
		"new.csv":  "id,name,meter,tempo,rhythm,tier,tags\ntie,,4/4,96,x x x .,,\n",
	} {
		for _, src := range []string{"", "\n\n", "\xef\xbb\xbf"} {
			got, err := AppendPhrase(name, []byte(src), e)
			require.NoError(t, err)
			assert.Equal(t, want, string(got))
		}
	}
}

func TestEditsThatCanNotBeMade(t *testing.T) {
	var fileError *FileError
	_, err := setTier("b", []byte(kept), "nobody", 3)
	require.ErrorContains(t, err, `the bank has no phrase "nobody"`)
	_, err = setTier("b.csv", []byte("id,meter,rhythm\nrow,4/4,x x x x\n"), "nobody", 3)
	require.ErrorContains(t, err, `the bank has no phrase "nobody"`)
	for _, tier := range []int{-1, 21} {
		_, err = setTier("b", []byte(kept), "row", tier)
		require.ErrorContains(t, err, "out of range")
	}
	for _, d := range []float64{-1, 0.05, 21, nan()} {
		_, err = setDifficulty("b", []byte(kept), "row", d)
		require.ErrorContains(t, err, "out of range")
	}
	_, err = SetPins("b", []byte(kept), []Pin{{ID: "row", Tier: 1}, {ID: "row", Tier: 2}})
	require.ErrorContains(t, err, "two pins for row")
	_, err = setTier("b", []byte("[[phrase]]\nid = 3\n"), "3", 3)
	require.ErrorAs(t, err, &fileError)
	_, err = AppendPhrase("b", []byte("[[phrase]]\nid = 3\n"), Entry{})
	require.ErrorAs(t, err, &fileError)
	_, err = AppendPhrase("b", []byte(kept), Entry{ID: "row", Phrase: rhythm.MustParse("x x x .", "4/4", 96)})
	require.ErrorContains(t, err, "is taken")
	_, err = AppendPhrase("b", []byte("PK\x03\x04"), Entry{ID: "row"})
	require.ErrorAs(t, err, &fileError)
}

func nan() float64 { var zero float64; return zero / zero }
