package plan

import (
	"fmt"
	"slices"
	"strings"

	"clapladder.example/patterns"
)

// Filter narrows a repertoire. Tags are compared without regard to case.
type Filter struct {
	With    []string // tags a piece must all have: a topic, a length, a kind of room
	Without []string // tags it must not have, such as instruments that aren't at hand
	Played  []string // IDs of pieces played last time, left out
}

// NoPieceError says that a filter leaves nothing to choose from.
type NoPieceError struct {
	Pieces  int      // in the repertoire
	Missing []string // tags asked for that no piece has
	Played  int      // pieces left out because they were played last time
	Tags    []string // what the repertoire has, sorted
}

// Error is one line: what is left out, and what to do.
func (e *NoPieceError) Error() string {
	switch {
	case e.Pieces == 0:
		return "the repertoire holds no piece to choose from; write at least one with a core part"
	case len(e.Missing) > 0:
		return fmt.Sprintf("no piece has the tag %s; the tags in use are %s", quoted(e.Missing),
			strings.Join(e.Tags, ", "))
	case e.Played == e.Pieces:
		return fmt.Sprintf("all %d pieces were played last time; leave some out of that list", e.Pieces)
	}
	return fmt.Sprintf("none of the %d pieces has the tags asked for and wasn't played last "+
		"time; ask for fewer tags", e.Pieces)
}

func quoted(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = fmt.Sprintf("%q", w)
	}
	return strings.Join(out, " or ")
}

// apply returns the pieces that pass, in their order. Pieces without a part are
// left out, they can't be played.
func (f Filter) apply(pieces []patterns.GradedPiece) ([]patterns.GradedPiece, error) {
	var kept []patterns.GradedPiece
	failure := &NoPieceError{}
	for _, p := range pieces {
		if len(p.Parts) == 0 {
			continue
		}
		failure.Pieces++
		if slices.Contains(f.Played, p.ID) {
			failure.Played++
			continue
		}
		if !hasAll(p.Tags, f.With) || hasAny(p.Tags, f.Without) {
			continue
		}
		kept = append(kept, p)
	}
	if len(kept) > 0 {
		return kept, nil
	}
	failure.Tags = tagsOf(pieces)
	for _, tag := range f.With {
		if !hasTag(failure.Tags, tag) {
			failure.Missing = append(failure.Missing, tag)
		}
	}
	return nil, failure
}

func hasTag(tags []string, tag string) bool {
	return slices.ContainsFunc(tags, func(t string) bool {
		return strings.EqualFold(t,
			strings.TrimSpace(tag))
	})
}

func hasAll(tags, wanted []string) bool {
	return !slices.ContainsFunc(wanted, func(tag string) bool { return !hasTag(tags, tag) })
}

func hasAny(tags, unwanted []string) bool {
	return slices.ContainsFunc(unwanted, func(tag string) bool { return hasTag(tags, tag) })
}

func tagsOf(pieces []patterns.GradedPiece) []string {
	var tags []string
	for _, p := range pieces {
		tags = append(tags, p.Tags...)
	}
	slices.Sort(tags)
	return slices.Compact(tags)
}
