package view

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/view/internal/picture"
	"clapladder.example/rhythm"
)

// wellFormed parses a picture and returns the attributes of its root.
func wellFormed(t *testing.T, picture string) map[string]string {
	t.Helper()
	root := map[string]string{}
	d := xml.NewDecoder(strings.NewReader(picture))
	for depth := 0; ; {
		token, err := d.Token()
		if err == io.EOF {
			require.Zero(t, depth)
			return root
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			if depth == 0 {
				for _, a := range e.Attr {
					root[a.Name.Local] = a.Value
				}
			}
			depth++
		case xml.EndElement:
			depth--
		}
	}
}

func phraseSVG(t *testing.T, notation, meter string, width float64) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, PhraseSVG(&b, rhythm.MustParse(notation, meter, 96), width))
	return b.String()
}

func TestPictureOfAPhrase(t *testing.T) {
	for file, phrase := range map[string][2]string{
		"phrase-simple.svg":   {"x xx .x X", "4/4"},
		"phrase-sounds.svg":   {"s pp n S | x . x.xx x", "4/4"},
		"phrase-additive.svg": {"x x xxx", "7/8=2+2+3"},
	} {
		picture := phraseSVG(t, phrase[0], phrase[1], 380)
		root := wellFormed(t, picture)
		assert.Equal(t, "img", root["role"])
		assert.Contains(t, root["aria-label"], "Phrase ")
		expectFile(t, file, picture)
	}
}

func TestPicturesOfRounds(t *testing.T) {
	for i, file := range map[int]string{
		0: "round-full.svg", 2: "round-extras.svg",
		3: "round-thin.svg", 4: "round-silent.svg",
	} {
		picture, err := picture.Round(sample().Rounds[i], 380)
		require.NoError(t, err)
		root := wellFormed(t, picture)
		assert.Contains(t, root["aria-label"], "The phrase is "+sample().Rounds[i].Notation)
		expectFile(t, file, picture+"\n")
	}
}

func TestAPictureFitsItsWidth(t *testing.T) {
	for _, notation := range []string{
		"x x x x", "x xx xxx xxxx | x x x x | x x x x",
		"xxxxxxxxxxxxxxxx x x x",
	} {
		for _, width := range []float64{240, 380, 900} {
			root := wellFormed(t, phraseSVG(t, notation, "4/4", width))
			assert.LessOrEqual(t, atof(t, root["width"]), width+0.01, "%s in %v", notation, width)
		}
	}
}

func TestNamesInPicturesAreEscaped(t *testing.T) {
	r := sample().Rounds[0]
	r.Name = `<script>"&`
	picture, err := picture.Round(r, 380)
	require.NoError(t, err)
	wellFormed(t, picture)
	assert.NotContains(t, picture, "<script")
}

func TestARoundThatCannotBeReadIsAnError(t *testing.T) {
	r := sample().Rounds[0]
	r.Notation = "q"
	_, err := picture.Round(r, 380)
	assert.Error(t, err)
	r.Meter = "nonsense"
	_, err = picture.Round(r, 380)
	assert.Error(t, err)
	assert.ErrorIs(t, PhraseSVG(brokenWriter{}, rhythm.MustParse("x x x x", "4/4", 96), 300), errFull)
}

func trendPoints() []LevelPoint {
	day := func(month time.Month, day int) time.Time {
		return time.Date(2025, month, day, 12, 30, 0,
			0, time.UTC)
	}
	return []LevelPoint{
		{day(1, 14), 2.4, 1.5, 3.3},
		{day(1, 21), 2.9, 2.2, 3.6},
		{day(3, 4), 3.6, 3, 4.3},
		{day(4, 8), 3.5, 2.9, 4.1},
	}
}

func TestPictureOfATrend(t *testing.T) {
	var b strings.Builder
	require.NoError(t, TrendSVG(&b, "Lunch hour", trendPoints(), 640))
	root := wellFormed(t, b.String())
	assert.Contains(t, root["aria-label"], "4 Mar 2025 level 3.6, between 3.0 and 4.3")
	expectFile(t, "trend.svg", b.String())
	for _, points := range [][]LevelPoint{nil, trendPoints()[:1], {trendPoints()[0], trendPoints()[0]}} {
		b.Reset()
		require.NoError(t, TrendSVG(&b, "x", points, 300))
		wellFormed(t, b.String())
		assert.NotContains(t, b.String(), "NaN")
		assert.NotContains(t, b.String(), "Inf")
	}
}
