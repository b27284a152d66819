package view

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/view/internal/boxes"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

func TestWidthCountsColumns(t *testing.T) {
	for text, want := range map[string]int{
		"": 0, "ahoy": 4, "Gülle": 5, "Gu\u0308lle": 5, "港の歌": 6, "ab\tc": 3, "│·█": 3,
		"\u200bx": 1, "\x1b": 0,
	} {
		assert.Equal(t, want, wording.Width(text), "%q", text)
	}
}

func TestCutKeepsWithinTheColumns(t *testing.T) {
	assert.Equal(t, "ahoy", wording.Cut("ahoy", 4, "…"))
	assert.Equal(t, "aho…", wording.Cut("ahoy there", 4, "…"))
	assert.Equal(t, "a...", wording.Cut("ahoy there", 4, "..."))
	assert.Equal(t, "港…", wording.Cut("港の歌", 4, "…"), "a wide character is never halved")
	assert.Equal(t, "bow…", wording.Cut("bow and stern", 5, "…"), "no space before the dots")
}

func TestWrapBreaksAtSpacesOnly(t *testing.T) {
	assert.Equal(t, []string{"haul the", "rope"}, wording.Wrap("haul  the\nrope", 8))
	assert.Equal(t, []string{"a", "longword", "b"}, wording.Wrap("a longword b", 5))
	assert.Equal(t, []string{""}, wording.Wrap("", 5))
}

func TestTablesAlignByWhatIsSeen(t *testing.T) {
	table := Table{
		Columns: []Column{{Title: "ID"}, {Title: "N", Right: true}, {Title: "WHY", Wrap: true}},
		Rows: [][]string{
			{"港", "1", "short"},
			nil,
			{"gangway", "10", "a reason that is longer than the line has room for"},
		},
	}
	assert.Equal(t, strings.Join([]string{
		"ID        N  WHY",
		"港        1  short",
		"",
		"gangway  10  a reason that is longer than",
		"             the line has room for",
		"",
	}, "\n"), table.Text(Style{Width: 42}))
}

func TestSpareColumnsGoWhereTheLineIsTooShort(t *testing.T) {
	table := Table{
		Columns: []Column{
			{Title: "NAME"},
			{Title: "LEVEL"},
			{Title: "ROUNDS", Right: true, Spare: true},
			{Title: "CALLS", Wrap: true},
			{Title: "GROUPS", Spare: true},
		},
		Rows: [][]string{{"gangway-and-quay", "2.1", "9", "row bell fog throw", "3"}, nil, {"fog"}},
	}
	for width, want := range map[int]string{
		60: "NAME LEVEL ROUNDS CALLS GROUPS",
		50: "NAME LEVEL ROUNDS CALLS", 42: "NAME LEVEL CALLS",
	} {
		text := table.Text(Style{Width: width})
		first, _, _ := strings.Cut(text, "\n")
		assert.Equal(t, want, strings.Join(strings.Fields(first), " "))
		for line := range strings.Lines(text) {
			assert.LessOrEqual(t, wording.Width(strings.TrimRight(line, "\n")), width)
		}
		assert.Contains(t, text, "throw", "what wraps is not lost")
	}
	assert.Len(t, table.Columns, 5, "the table itself is as it was")
	assert.Equal(t, []string{"gangway-and-quay", "2.1", "9", "row bell fog throw", "3"}, table.Rows[0])
}

func TestTablesWithoutTitlesHaveNoHead(t *testing.T) {
	table := Table{Columns: []Column{{}, {}}, Rows: [][]string{{"a", "b"}}}
	assert.Equal(t, "a  b\n", table.Text(Style{}))
}

func TestJSONIsStableAndReadable(t *testing.T) {
	type inner struct {
		Times []float64 `json:"times"`
		Text  string    `json:"text"`
	}
	value := struct {
		Whole  float64  `json:"whole"`
		Part   float64  `json:"part"`
		Tiny   float64  `json:"tiny"`
		Big    float64  `json:"big"`
		Count  int      `json:"count"`
		None   *float64 `json:"none"`
		Empty  []int    `json:"empty"`
		Nested []inner  `json:"nested"`
		Words  []string `json:"words"`
	}{
		3, 1.0 / 3, -0.00001, 1e20, 7, nil,
		[]int{},
		[]inner{{[]float64{0.125, 2, 3.00004}, `a < b & 港: "0.12345"`}},
		[]string{"x", "y"},
	}
	var b strings.Builder
	require.NoError(t, JSON(&b, value))
	assert.Equal(t, `{
  "whole": 3,
  "part": 0.3333,
  "tiny": 0,
  "big": 100000000000000000000,
  "count": 7,
  "none": null,
  "empty": [],
  "nested": [
    {
      "times": [
        0.125,
        2,
        3
      ],
      "text": "a < b & 港: \"0.12345\""
    }
  ],
  "words": [
    "x",
    "y"
  ]
}
`, b.String())
}

func TestJSONKeepsEverythingButTheRounding(t *testing.T) {
	var b strings.Builder
	require.NoError(t, JSON(&b, sample()))
	var back assess.Report
	require.NoError(t, json.Unmarshal([]byte(b.String()), &back))
	require.Len(t, back.Rounds, len(sample().Rounds))
	var again strings.Builder
	require.NoError(t, JSON(&again, back))
	assert.Equal(t, b.String(), again.String(), "writing what was read changes nothing")
}

func TestJSONRefusesWhatItCannotSay(t *testing.T) {
	assert.ErrorContains(t, JSON(&strings.Builder{}, math.NaN()), "writing JSON: ")
	assert.ErrorIs(t, JSON(brokenWriter{}, 1), errFull)
}

func FuzzJSONNumbers(f *testing.F) {
	for _, x := range []float64{0, -0.00004, 0.99995, 1e-300, 123456.78901, 1e15, math.MaxFloat64} {
		f.Add(x)
	}
	f.Fuzz(func(t *testing.T, x float64) {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return
		}
		var b strings.Builder
		require.NoError(t, JSON(&b, []float64{x}))
		var back []float64
		require.NoError(t, json.Unmarshal([]byte(b.String()), &back))
		assert.InDelta(t, x, back[0], 0.5e-4+math.Abs(x)*1e-12)
	})
}

func TestBoxesShowExtrasWhereTheyFell(t *testing.T) {
	r := played("a", "A", "x . x x", "4/4", 1, 1, 0.5, 0.9, 0.5, 0.02)
	r.Extras = []assess.Extra{
		{Bar: 1, Beat: 2, Time: 4, Participation: 0.5},
		{Bar: 1, Beat: 3.5, Time: 5, Participation: 0.3},
		{Bar: 2, Beat: 1, Time: 6, Participation: 0.9},
	}
	g, _, err := boxes.OfRound(r)
	require.NoError(t, err)
	assert.Equal(t, []string{"x . x  x", "9 5 53 0"}, gridText(g, Style{}, 80))
	assert.Equal(t, []string{"x . x  x", "█ ▅ ▅▃ ·"}, gridText(g, Style{Unicode: true}, 80))
}

func TestBoxesGoOnInTheNextLine(t *testing.T) {
	p := rhythm.MustParse("x x x x | xx xx xx xx | x . . .", "4/4", 96)
	assert.Equal(t, []string{"x x x x | xx xx xx xx", "x . . ."}, gridText(boxes.OfPhrase(p), Style{}, 22))
	assert.Equal(t, []string{"x x x x │ xx xx xx xx │ x . . ."}, gridText(boxes.OfPhrase(p), Style{Unicode: true}, 76))
}

func TestSpokenWordsStandUnderTheirBoxes(t *testing.T) {
	for _, test := range []struct {
		name, notation, meter string
		system                spoken.System
		marks                 []Mark
		want                  []string
	}{
		{
			"off-beats", "x .x . x", "4/4", spoken.Counting, nil,
			[]string{"x  .   x  .    x", "1  (2) &  (3)  4"},
		},
		{
			"marks", "x .x . x", "4/4", spoken.Counting,
			[]Mark{{3, "1"}, {6, "2"}, {3, "9"}},
			[]string{"x  .   x  .    x", "1  (2) &  (3)  4", "       1       2"},
		},
		{"two bars", "x x | x .", "2/4", spoken.Counting, nil, []string{"x  x | x  .", "1  2   1  (2)"}},
		{
			"additive beats have a word for each unit", "x x", "5/8=2+3", spoken.Counting, nil,
			[]string{"x .    x .   .", "1 (2)  1 (2) (3)"},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			p := rhythm.MustParse(test.notation, test.meter, 96)
			assert.Equal(t, test.want, Spoken(p, test.system, test.marks, Style{}))
		})
	}
}

func TestChancesAreNeverCertain(t *testing.T) {
	for p, want := range map[float64]string{
		0: "under 1 %", 0.004: "under 1 %", 0.5: "50 %",
		0.99: "99 %", 0.996: "over 99 %", 1: "over 99 %",
	} {
		assert.Equal(t, want, Chance(p), p)
	}
}

func TestAListIsWrittenOneByOneAsItIsAtOnce(t *testing.T) {
	type item struct {
		ID    string    `json:"id"`
		Times []float64 `json:"times"`
	}
	for _, list := range [][]item{{}, {{"ebb", nil}}, {{"ebb", []float64{0.5, 1}}, {"flow", []float64{}}}} {
		var at, one strings.Builder
		require.NoError(t, JSON(&at, list))
		require.NoError(t, JSONList(&one, slices.Values(list)))
		assert.Equal(t, at.String(), one.String())
	}
}
