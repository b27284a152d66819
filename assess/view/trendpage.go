package view

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"clapladder.example/assess/view/internal/picture"
)

//go:embed trend.html
var trendTemplate string

var trendPage = template.Must(template.New("trend").Parse(trendTemplate))

// TrendPage is what a page about a group over time shows.
type TrendPage struct {
	Title   string // no names of people belong here
	About   string // such as when the page was made
	Said    string // what the trend says, in a sentence
	Points  []LevelPoint
	Calls   []string // what was called at each point, for people
	Remarks []string
}

const trendHow = "Each dot is a warm-up: the level is the difficulty that half of the group " +
	"would get, and the bar the range it lies in nine times in ten. " +
	"One step up is one tier of the repertoire."

// TrendHTML writes a page that needs nothing else, for the leader or a client: a picture, what it
// says, dates and what was called. Points are in order of time. The error is that of w, or about a
// text that can't be used.
func TrendHTML(w io.Writer, p TrendPage) error {
	type row struct{ Date, Level, Range, Calls string }
	model := struct {
		Title, About, Said, How string
		Picture                 template.HTML
		Rows                    []row
		Remarks                 []string
	}{
		Title: p.Title, About: p.About, Said: p.Said, How: trendHow,
		Picture: template.HTML(picture.Trend(p.Title, placed(p.Points), 720)), Remarks: p.Remarks,
	}
	for i, point := range p.Points {
		r := row{
			Date: point.Date.Format("2 January 2006"), Level: fmt.Sprintf("%.1f", point.Level),
			Range: fmt.Sprintf("%.1f to %.1f", point.Low, point.High),
		}
		if i < len(p.Calls) {
			r.Calls = p.Calls[i]
		}
		model.Rows = append(model.Rows, r)
	}
	var b bytes.Buffer
	if err := trendPage.Execute(&b, model); err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	_, err := w.Write(bytes.ReplaceAll(b.Bytes(), []byte(" %"), []byte("\u00a0%"))) // no line break between
	return err
}
