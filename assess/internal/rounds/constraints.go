package rounds

// constraints are what a leader said about the recording, in terms of the book.
type constraints struct {
	marks []mark
	order []int // templates in the order called; -1 for one that is not in the book
}

// mark is a span that a person marked.
type mark struct {
	start, end float64 // seconds
	template   int     // that its label names, -1 for none: then it only bounds a round
}

func newConstraints(o Options, b *book) constraints {
	var c constraints
	for _, m := range o.Marks {
		c.marks = append(c.marks, mark{m.Start, m.End, b.named(m.Label)})
	}
	for _, id := range o.Order {
		c.order = append(c.order, b.named(id))
	}
	return c
}

// earned is what the marks say for or against a proposal whose first note sounds at a time: a span
// labelled with a phrase holds its call, and no round crosses the edge of any other span.
func (c constraints) earned(p proposal, first float64) float64 {
	earned := 0.0
	callEnd := p.end
	if p.answer != nil {
		callEnd = p.from
	}
	for _, m := range c.marks {
		switch overlap := min(callEnd, m.end) - max(first, m.start); {
		case m.template >= 0 && overlap < markOverlap*(callEnd-first):
		case m.template >= 0 && m.template == p.template:
			earned += markEarns
		case m.template >= 0:
			earned -= markEarns
		case first < m.start && p.end > m.start+earlyNext,
			first < m.end-earlyNext && p.end > m.end+earlyNext:
			earned -= markEarns
		}
	}
	return earned
}
