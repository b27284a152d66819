package hear

import (
	"context"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/pulse"
	"clapladder.example/assess/internal/rounds"
)

// Rounds finds the rounds of an analysis. Where somebody keeps the beat beside them, that
// is taken out and the rounds are found once more; the analysis returned is what is left. The error
// is ctx's.
func Rounds(
	ctx context.Context, a *onset.Analysis, templates []rounds.Template, o rounds.Options,
) (*onset.Analysis, []rounds.Round, error) {
	found, err := rounds.Find(ctx, a, templates, o)
	if err != nil {
		return nil, nil, err
	}
	kept := pulse.Find(a, found)
	if len(kept) == 0 {
		return a, found, nil
	}
	a = a.Without(kept)
	found, err = rounds.Find(ctx, a, templates, o)
	return a, found, err
}
