package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/synth"
)

// Chances need more warm-ups to be checked than sound can be made of. These are of strokes and
// energies alone: what reaches the phone of each clap is known, and strays as much as what is
// measured of sound strays, so that shares err as they do there.
const (
	silentNote   = 0.16  // of a note's energy, natural log
	silentExtra  = 0.35  // the same of clapping between the notes
	silentSpread = 0.15  // of the spread, natural log
	silentFull   = 0.09  // of what the plainest phrases give, natural log
	silentLeak   = 0.025 // mean energy of a place between the notes where nobody clapped
)

// imagine makes n warm-ups of strokes and energies, the classes in turn. The result depends on the
// seed alone.
func (w *world) imagine(ctx context.Context, seed uint64, n int) ([]Warmup, error) {
	out := make([]Warmup, 0, n)
	for i := range n {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		scene := w.scene(seed, i)
		truth, err := synth.SilentTruth(scene)
		if err != nil {
			return nil, fmt.Errorf("warm-up %d: %w", i+1, err)
		}
		out = append(out, w.imagined(scene, truth))
	}
	return out, nil
}

// imagined is a warm-up as its strokes tell it.
func (w *world) imagined(scene synth.Scene, truth synth.Truth) Warmup {
	out := Warmup{
		Class: scene.Class, People: truth.People, Level: truth.Level,
		Tier: truth.ComfortTier(0.7, w.highest),
	}
	rng := rand.New(rand.NewPCG(scene.Seed, 79))
	stray := func(sd float64) float64 { return math.Exp(sd * rng.NormFloat64()) }
	full := stray(silentFull)
	var spreads, beside []float64
	for _, round := range truth.Rounds {
		g, ok := w.graded[round.Phrase]
		if !ok || round.Response == nil {
			continue
		}
		a := Answer{
			Phrase: g.ID, Difficulty: g.Difficulty, SD: g.SD, Attempt: round.Attempt,
			Share: round.Response.Share, Spread: round.Response.Spread,
		}
		h := &a.Heard
		for k, n := range round.Response.Notes {
			a.Notes = append(a.Notes, n.Participation)
			h.Notes = append(h.Notes, n.Energy*stray(silentNote)/full)
			h.Off = append(h.Off, offBeat(g.Phrase.Position(g.Phrase.Strokes()[k].Step)))
		}
		for _, x := range round.Response.Extras {
			a.Extras = append(a.Extras, x.Participation)
			h.Extras = append(h.Extras, x.Energy*stray(silentExtra)/full)
		}
		for range len(a.Notes) {
			a.Extras = append(a.Extras, 0)
			h.Extras = append(h.Extras, silentLeak*rng.ExpFloat64()/full)
		}
		h.All, h.Usual = h.Notes, h.Extras
		h.Fitted = max(a.Spread, 0.002) * stray(silentSpread)
		spreads, beside = append(spreads, h.Fitted), append(beside, sum(h.Extras)/float64(len(a.Notes)))
		out.Total += (sum(h.Notes) + sum(h.Extras)) / float64(len(a.Notes))
		out.Answers = append(out.Answers, a)
	}
	if len(out.Answers) == 0 {
		return out
	}
	out.Total /= float64(len(out.Answers))
	slices.Sort(spreads)
	slices.Sort(beside)
	by := 1 / response.FullCorrection(response.Tables()["fullWeights"], out.Total, len(out.Answers))
	for i := range out.Answers {
		h := &out.Answers[i].Heard
		h.Looser = math.Log(h.Fitted / spreads[len(spreads)/2])
		h.Beside = beside[len(beside)/2]
		*h = h.Scaled(by)
	}
	return out
}

func offBeat(bar int, beat float64) bool { return bar <= 0 || beat != math.Trunc(beat) }

func sum(values []float64) float64 {
	total := 0.0
	for _, x := range values {
		total += x
	}
	return total
}

// judgeSilent fits tables to warm-ups without sound and judges others by them. The first error says
// that what package ability makes of the calls parts from what they tell here.
func (w *world) judgeSilent(ctx context.Context, out io.Writer, stated bool, fitted, judged int,
) (parted, failed error) {
	warmups, err := w.imagine(ctx, fitSeed, fitted)
	if err != nil {
		return nil, err
	}
	others, err := w.imagine(ctx, judgeSeed, judged)
	if err != nil {
		return nil, err
	}
	t, err := fitAll(warmups)
	if err != nil {
		return nil, err
	}
	steady(others, t.spread)
	rescale(others, t.full)
	fmt.Fprintf(out, "\n%d warm-ups of strokes and energies without sound, by tables fitted to %d others\n",
		judged, fitted)
	failed = w.report(out, others, stated, func(string) (tables, error) { return t, nil })
	return judgeChosen(out, warmups), failed
}
