package plan

import (
	"fmt"
	"strings"
	"text/tabwriter"
)

// cardText draws a card in plain letters, so that a golden file can be judged by
// eye. Cells of one row of the triangle are one line.
func cardText(c *Card) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d calls", c.Calls())
	if c.Tempo > 0 {
		fmt.Fprintf(&b, " at %g beats a minute", c.Tempo)
	}
	b.WriteString("\n\nopen\n")
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	line := func(place string, call CardCall, more ...string) {
		fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%.1f\t%s\n", place, call.Phrase, call.Meter,
			call.Notation, call.Difficulty, strings.Join(more, "\t"))
	}
	for i, call := range c.Opening {
		line(fmt.Sprint(i+1), call)
	}
	w.Flush()
	b.WriteString("\nbranch: more than half got it → got, otherwise → lost\n")
	for _, cell := range c.Branch {
		line(cell.Place, cell.CardCall, "got "+cell.Got, "lost "+cell.Lost,
			fmt.Sprintf("%.0f %%", 100*cell.Share))
	}
	w.Flush()
	b.WriteString("\nclose\n")
	for i, call := range c.Closing {
		line(fmt.Sprint(i+1), call)
	}
	w.Flush()
	b.WriteString("\nends\n")
	for _, e := range c.Ends {
		fmt.Fprintf(w, "  %s\ttier %d to %d, likeliest %d\t(%d to %d)\t%.0f %% sure\treached by %.1f %%\n", e.Place, e.From, e.To, e.Tier, e.Low, e.High, 100*e.Chance, 100*e.ReachedBy)
	}
	w.Flush()
	for _, r := range c.Remarks {
		b.WriteString("\n" + r + "\n")
	}
	lines := strings.Split(b.String(), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}
