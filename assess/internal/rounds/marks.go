package rounds

// What a person's marks are worth: more than any doubt about one note, less than a whole phrase.
const (
	markEarns   = 8.0
	markOverlap = 0.5 // of the call
)

// marked is what the marks say for or against a proposal: a span labelled with a phrase holds its call, and no round
// crosses the edge of any other span.
func (f *finder) marked(p proposal) float64 {
	earned := 0.0
	from, to := f.attacks[p.matched[p.firstMatched()]].Time, p.end
	callEnd := p.end
	if p.answer != nil {
		callEnd = p.from
	}
	for _, m := range f.options.Marks {
		id := f.templateNamed(m.Label)
		switch overlap := min(callEnd, m.End) - max(from, m.Start); {
		case id >= 0 && overlap < markOverlap*(callEnd-from):
		case id >= 0 && id == p.template:
			earned += markEarns
		case id >= 0:
			earned -= markEarns
		case (from < m.Start && to > m.Start+earlyNext) || (from < m.End-earlyNext && to > m.End+earlyNext):
			earned -= markEarns
		}
	}
	return earned
}

// firstMatched is the index of the first note that an attack met.
func (p proposal) firstMatched() int {
	for i, k := range p.matched {
		if k >= 0 {
			return i
		}
	}
	return 0
}

// templateNamed is the index of the template with the id, -1 where there is none.
func (f *finder) templateNamed(id string) int {
	for i := range f.templates {
		if f.templates[i].id == id {
			return i
		}
	}
	return -1
}
