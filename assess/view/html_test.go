package view

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
)

func page(t *testing.T, r *assess.Report, p Page) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, HTML(&b, r, p))
	return b.String()
}

func TestPageOfAReport(t *testing.T) {
	expectFile(t, "report.html", page(t, sample(), Page{Title: "Lunch-hour group, spring tide"}))
}

func TestPageNeedsNothingElse(t *testing.T) {
	got := page(t, sample(), Page{})
	for _, word := range []string{
		"<script", "http://", "https://", "src=", "@import", "url(",
		"<link", "<iframe",
	} {
		text := strings.ReplaceAll(got, `xmlns="http://www.w3.org/2000/svg"`, "")
		assert.NotContains(t, text, word)
	}
	assert.Less(t, len(got), 100_000)
}

func TestPageStaysSmallForALongWarmUp(t *testing.T) {
	r := sample()
	for len(r.Rounds) < 12 {
		r.Rounds = append(r.Rounds, sample().Rounds[2])
	}
	r.Recording.Envelope = &assess.Envelope{Step: 0.1, Power: make([]int, 1200)}
	assert.Less(t, len(page(t, r, Page{})), 400_000)
}

func TestPageEscapesWhatComesFromFiles(t *testing.T) {
	r := sample()
	r.Rounds[0].Name = `"><script>alert(1)</script>`
	r.Rounds[2].Errors[0].Text = `<img onerror=x>`
	r.Openers[0].Name = `<b>bold</b>`
	r.Openers[0].Notation = `<i>`
	r.Warnings[0].Text = `</main>`
	got := page(t, r, Page{Title: `</title><script>`})
	for _, word := range []string{"<script", "<img", "<b>bold", "<i>", "</main><", "</title><s"} {
		assert.NotContains(t, strings.Replace(got, "</main>\n", "", 1), word)
	}
}

func TestPageReadsInOrderWithoutPictures(t *testing.T) {
	got := page(t, sample(), Page{})
	last := -1
	for _, part := range []string{
		"<h1>", "Tier 3", "most likely (72\u00a0%", "Open with", "Fall back to", `<h2 id="play">`, `<h2 id="group">`, `<h3 id="sofar">`, "<table>", `<h2 id="rounds">`, `<h2 id="notes">`, `<h2 id="how">`,
	} {
		at := strings.Index(got[last+1:], part)
		require.GreaterOrEqual(t, at, 0, part)
		last += at + 1
	}
	pictures := strings.Count(got, "<svg")
	assert.Equal(t, pictures, strings.Count(got, `role="img" aria-label="`), "every picture has words")
	assert.GreaterOrEqual(t, pictures, len(sample().Rounds)+1)
}

func TestPageWithoutATierSaysWhatToDo(t *testing.T) {
	got := page(t, &assess.Report{Recording: assess.Recorded{Duration: 20}}, Page{})
	assert.Contains(t, got, "No tier yet")
	assert.Contains(t, got, "record again")
	assert.NotContains(t, got, `id="rounds"`)
	assert.NotContains(t, got, "<svg")
}

func TestPageReportsAFullDisk(t *testing.T) {
	assert.ErrorIs(t, HTML(brokenWriter{}, sample(), Page{}), errFull)
	assert.NoError(t, HTML(io.Discard, sample(), Page{}))
}
