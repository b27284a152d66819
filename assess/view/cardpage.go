package view

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/picture"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/rhythm/spoken"
)

//go:embed card.html
var cardTemplate string

var cardPage = template.Must(template.New("card").Parse(cardTemplate))

// CardHTML writes a warm-up card as a page to print, black on white, with the card as words too for
// those who do not see it. paper is A4 or A5, lying on its long side. The error is that of w, or
// about the page.
func CardHTML(w io.Writer, c *plan.Card, system spoken.System, paper string, p Page) error {
	model := cardModel{
		Title: cmp.Or(p.Title, wording.CardTitle(c)), Paper: paper, How: cardHow,
		Remarks: c.Remarks,
	}
	model.Picture = template.HTML(picture.Card(c, system, model.Title))
	for _, call := range c.Opening {
		model.Opening = append(model.Opening, cardLine(call))
	}
	for _, cell := range c.Branch {
		model.Branch = append(model.Branch, cardCellModel{
			cell.Place, cardLine(cell.CardCall),
			cell.Got, cell.Lost,
		})
	}
	for _, e := range c.Ends {
		model.Ends = append(model.Ends,
			fmt.Sprintf("%s: %s, %s", e.Place, wording.EndTier(e), wording.EndDoubt(e)))
	}
	for _, call := range c.Closing {
		model.Closing = append(model.Closing, cardLine(call))
	}
	var b bytes.Buffer
	if err := cardPage.Execute(&b, model); err != nil {
		return fmt.Errorf("writing the card: %w", err)
	}
	_, err := w.Write(b.Bytes())
	return err
}

type cardModel struct {
	Title, Paper, How string
	Picture           template.HTML
	Opening, Closing  []string
	Branch            []cardCellModel
	Ends, Remarks     []string
}

type cardCellModel struct{ Place, Call, Got, Lost string }

func cardLine(c plan.CardCall) string {
	return fmt.Sprintf("%s: %s in %s, at %s", wording.CallName(c), c.Notation, c.Meter,
		wording.Number(c.Tempo, 0))
}
