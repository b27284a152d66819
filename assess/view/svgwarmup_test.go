package view

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/view/internal/picture"
)

func timelineSVG(t *testing.T, r *assess.Report, width float64) string {
	t.Helper()
	return picture.Timeline(r, width) + "\n"
}

func levelSVG(t *testing.T, r *assess.Report, width float64) string {
	t.Helper()
	return picture.Level(r.Rounds, width) + "\n"
}

func TestPicturesOfAWarmUp(t *testing.T) {
	strip := timelineSVG(t, sample(), 900)
	assert.Contains(t, wellFormed(t, strip)["aria-label"], "7 rounds in 1:11 minutes")
	expectFile(t, "timeline.svg", strip)
	level := levelSVG(t, sample(), 560)
	assert.Contains(t, wellFormed(t, level)["aria-label"],
		"From 3.9 after round 1 (90 %: 2.0 to 6.0) to 3.8 after round 7")
	expectFile(t, "level.svg", level)
}

func TestAStripWithoutSoundHasNoOutline(t *testing.T) {
	r := sample()
	with := wellFormed(t, timelineSVG(t, r, 900))
	r.Recording.Envelope = nil
	without := timelineSVG(t, r, 900)
	assert.NotContains(t, without, "<path")
	assert.InDelta(t, picture.SoundHeight, atof(t, with["height"])-atof(t, wellFormed(t, without)["height"]), 1e-9)
}

func TestTheOutlineIsAsHighAsItIsLoud(t *testing.T) {
	r := &assess.Report{Recording: assess.Recorded{
		Duration: 4,
		Envelope: &assess.Envelope{Step: 1, Power: []int{-60, -40, -20, 0}},
	}}
	strip := timelineSVG(t, r, 100)
	var heights []float64
	for line := range strings.SplitSeq(strip[strings.Index(strip, `d="M`)+3:strings.Index(strip, `" stroke`)], "M") {
		if _, v, ok := strings.Cut(line, "v"); ok {
			heights = append(heights, atof(t, v))
		}
	}
	require.Len(t, heights, 58, "as many columns as there are pixels for")
	for i := 1; i < len(heights); i++ {
		assert.GreaterOrEqual(t, heights[i], heights[i-1])
	}
	full := heights[len(heights)-1]
	assert.InDelta(t, picture.SoundHeight-10, full, 1e-9)
	// the quietest tenth is -60, so 50 dB are drawn
	assert.InDelta(t, 0.6*full, heights[len(heights)/2+3], 0.01, "-20 of 50 dB")
	assert.Less(t, heights[0], full/20)
}

func TestHoursOfSoundAndManyRoundsStillMakeAPicture(t *testing.T) {
	r := sample()
	r.Recording.Duration = 4 * 3600
	r.Recording.Envelope = &assess.Envelope{Step: 12, Power: make([]int, 1200)}
	for len(r.Rounds) < 500 {
		r.Rounds = append(r.Rounds, r.Rounds[len(r.Rounds)%7])
	}
	for _, picture := range []string{timelineSVG(t, r, 900), levelSVG(t, r, 560)} {
		root := wellFormed(t, picture)
		assert.LessOrEqual(t, atof(t, root["width"]), 900.0)
		assert.NotContains(t, picture, "NaN")
		assert.NotContains(t, picture, "Inf")
	}
}

func TestNumbersThatMakeNoSenseDoNotBreakAPicture(t *testing.T) {
	r := sample()
	r.Recording.Envelope = &assess.Envelope{Step: 1e-9, Power: []int{1 << 40, -1 << 40}}
	r.Rounds[0].Call.Tempo, r.Rounds[1].Call.Tempo = 1e9, -3
	r.Rounds[1].Level = nil
	*r.Rounds[2].Level, r.Rounds[2].LevelInterval[1] = -1e6, 1e6
	r.Rounds[3].Difficulty = math.Inf(1)
	for _, picture := range []string{timelineSVG(t, r, 900), levelSVG(t, r, 560)} {
		wellFormed(t, picture)
		assert.NotContains(t, picture, "NaN")
		assert.NotContains(t, picture, "Inf")
		assert.Less(t, len(picture), 200_000)
	}
	assert.NotEmpty(t, levelSVG(t, &assess.Report{}, 560), "nothing is known yet")
}

func TestThePageOfATallySaysNothingOfSound(t *testing.T) {
	r := sample()
	r.Recording = assess.Recorded{Format: "tally"}
	got := page(t, r, Page{})
	for _, word := range []string{`class="strip"`, "Thick bar", "outline"} {
		assert.NotContains(t, strings.ReplaceAll(got, pageStyle, ""), word)
	}
	r.Recording = assess.Recorded{Format: "taps", Duration: 71.5}
	got = page(t, r, Page{})
	assert.Contains(t, got, `class="strip"`)
	assert.NotContains(t, got, "Thick bar")
}

func TestThePageHasEveryRoundOfThePictureInATable(t *testing.T) {
	got := page(t, sample(), Page{})
	assert.Equal(t, len(sample().Rounds), strings.Count(got, `<tr><th scope="row">`))
	assert.Contains(t, got, "<td>3.7</td><td>2.9 to 4.6</td>")
	assert.Contains(t, got, "A ring: the round does not count")
	r := sample()
	r.Group.Ability = nil
	assert.NotContains(t, page(t, r, Page{}), `id="sofar"`, "a level that is not stated has no history")
	r = sample()
	for i := range r.Rounds { // a report of version 1.0
		r.Rounds[i].Level, r.Rounds[i].LevelInterval = nil, nil
	}
	assert.NotContains(t, page(t, r, Page{}), `id="sofar"`)
}
