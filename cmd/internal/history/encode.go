package history

// Encode writes the record as one line of a log, with its line break, for who keeps a log elsewhere
// than in a file. The error is a *[RecordError] where the record can't be logged.
func (r Record) Encode() ([]byte, error) {
	r.Schema = SchemaName
	r.Group = CleanLabel(r.Group)
	r.Date = wholeSeconds(r.Date)
	if r.Rounds == nil {
		r.Rounds = []Round{}
	}
	if err := r.Check(); err != nil {
		return nil, err
	}
	return encodeLine(r)
}

// Encode writes the note as one line of a log, as [Record.Encode].
func (n Note) Encode() ([]byte, error) {
	return entry{Kind: kindNote, Group: n.Group, Date: n.Date, Text: n.Text}.Encode()
}

// Encode writes the outcome as one line of a log, as [Record.Encode].
func (o Outcome) Encode() ([]byte, error) {
	return entry{
		Kind: kindOutcome, Group: o.Group, Date: o.Date, Heard: o.Heard, Opener: o.Opener,
	}.Encode()
}
