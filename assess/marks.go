package assess

import "clapladder.example/assess/internal/rounds"

// Mark is a span of the recording that a person marked, such as in an audio editor.
type Mark struct {
	Start, End float64 // seconds from the start of the recording
	Label      string  // ID of the phrase called there; what else it says is not looked at
}

// marksOf are the marks on a part that begins at from.
func marksOf(marks []Mark, from float64) []rounds.Mark {
	out := make([]rounds.Mark, len(marks))
	for i, m := range marks {
		out[i] = rounds.Mark{Start: m.Start - from, End: m.End - from, Label: m.Label}
	}
	return out
}
