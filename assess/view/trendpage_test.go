package view

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// termPoints are three warm-ups, two of them on one day.
func termPoints() []LevelPoint {
	day := func(d int) time.Time { return time.Date(2025, 3, d, 12, 0, 0, 0, time.UTC) }
	return []LevelPoint{{day(4), 3, 2, 4}, {day(11), 3.4, 2.6, 4.1}, {day(11).Add(time.Hour), 4, 3.1, 5}}
}

func TestPageOfATrendSaysWhatItShows(t *testing.T) {
	var b strings.Builder
	require.NoError(t, TrendHTML(&b, TrendPage{
		Title: "Quay <1>", About: "a term", Said: "Up by 1 tier.", Points: termPoints(),
		Calls: []string{"row, bell", "row", "fog"}, Remarks: []string{"One left out."},
	}))
	page := b.String()
	for _, part := range []string{
		"<h1>Quay &lt;1&gt;</h1>", "Up by 1 tier.",
		"<td>4 March 2025</td><td class=\"n\">3.0</td><td>2.0 to 4.0</td><td>row, bell</td>",
		"One left out.", "<svg",
	} {
		assert.Contains(t, page, part)
	}
	assert.NotContains(t, page, "<script")
	assert.NotRegexp(t, `(src|href)=`, page, "nothing is fetched")
}

func TestTheLineOfATrendHasACornerADay(t *testing.T) {
	var b strings.Builder
	require.NoError(t, TrendSVG(&b, "Quay", termPoints(), 720))
	picture := b.String()
	assert.Equal(t, 3, strings.Count(picture, "<circle"))
	_, line, _ := strings.Cut(picture, "<polyline points=\"")
	line, _, _ = strings.Cut(line, "\"")
	assert.Equal(t, 1, strings.Count(line, ","), "the line has a corner a day, not a warm-up: %s", line)
}
