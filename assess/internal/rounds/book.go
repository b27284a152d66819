package rounds

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/transcribe"
	"clapladder.example/rhythm"
)

// book holds the phrases that a call may be, made ready for matching. It never changes once made.
type book struct {
	templates []template
	tree      prefixTree
	longest   float64 // seconds from the first to the last note of the longest at its slowest
	tempoSD   float64 // natural log, around the tempo expected
}

func newBook(templates []Template, tempo float64) *book {
	b := &book{tempoSD: transcribe.TempoSD}
	if tempo > 0 {
		b.tempoSD = tempoHintSD
	}
	for i, t := range templates {
		b.templates = append(b.templates, newTemplate(i, t, tempo))
		b.longest = max(b.longest, b.templates[i].span/transcribe.Slowest)
	}
	b.tree = newPrefixTree(b.templates)
	return b
}

// named is the index of the template with the id, -1 where there is none.
func (b *book) named(id string) int {
	return slices.IndexFunc(b.templates, func(t template) bool { return t.id == id })
}

// tempoCosts is what it costs that a call is this much faster or slower than expected, as a natural
// logarithm.
func (b *book) tempoCosts(off float64) float64 {
	off /= b.tempoSD
	return min(off*off/2, transcribe.TempoMost)
}

// template is a phrase made ready for matching.
type template struct {
	index    int
	id       string
	phrase   rhythm.Phrase
	shares   []float64 // where the notes lie between the first, 0, and the last, 1
	closest  float64   // smallest interval as such a share
	span     float64   // from first to last note at the phrase's own tempo, seconds
	shortest float64   // smallest interval, seconds
	rest     float64   // from the first note to the end of the phrase, seconds
	low      bool      // has stamps or pats
	plain    bool      // of claps alone

	logSpan     float64 // natural logarithm of span
	expected    float64 // the same at the tempo that all calls keep, where it is known
	silentStart bool    // begins with a rest
}

// isLow tells stamps and pats, whose power lies below the clap band.
func isLow(s rhythm.Sound) bool { return s == rhythm.Stamp || s == rhythm.Pat }

func newTemplate(index int, t Template, tempo float64) template {
	strokes := t.Phrase.Strokes()
	first, last := strokes[0].Step, strokes[len(strokes)-1].Step
	out := template{
		index: index, id: t.ID, phrase: t.Phrase, silentStart: first > 0, plain: transcribe.Plain(t.Phrase),
		span: t.Phrase.Seconds(last - first), closest: math.Inf(1),
		rest: t.Phrase.Seconds(t.Phrase.Steps() - first),
	}
	for i, s := range strokes {
		if i > 0 {
			out.closest = min(out.closest, float64(s.Step-strokes[i-1].Step)/float64(last-first))
		}
		out.shares = append(out.shares, float64(s.Step-first)/float64(last-first))
		out.low = out.low || isLow(s.Sound)
	}
	out.shortest = out.closest * out.span
	out.logSpan = math.Log(out.span)
	out.expected = out.logSpan
	if tempo > 0 {
		out.expected += math.Log(t.Phrase.Tempo() / tempo)
	}
	return out
}
