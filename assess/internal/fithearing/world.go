package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/robust"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/warmups"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// How far from its true place an answer is looked for: rounds are found that well.
const (
	placeSD = 0.015 // seconds
	tempoSD = 0.005 // of the tempo

	samePlace = 0.1 // seconds: an extra that was heard so near is the one that was clapped
)

// Warmup is a made-up warm-up as it was heard, with the truth.
type Warmup struct {
	Class   string
	People  int
	Level   float64 // of the people, mean
	Tier    int     // the highest that 7 in 10 of them manage
	Total   float64 // energy of its answers, see response.FullFeatures
	Answers []Answer
}

// Answer is one answer as it was heard, with the truth.
type Answer struct {
	Phrase     string
	Difficulty float64 // as stated
	SD         float64 // its error, as stated
	Attempt    int
	Heard      response.Amounts
	Share      float64   // of the people who got it
	Spread     float64   // of the claps of one note, seconds; 0 where too few were clapped
	Notes      []float64 // share of the people who clapped each note
	Extras     []float64 // share who clapped at each place of Heard.Extras
}

// world is what all warm-ups have in common.
type world struct {
	items   []warmups.Item
	graded  map[string]patterns.Graded
	highest int     // tier
	middle  float64 // median difficulty
}

func newWorld() *world {
	w := &world{graded: map[string]patterns.Graded{}}
	var all []float64
	for _, g := range patterns.GradeBank(difficulty.DefaultModel(), bank.Starter()) {
		w.items = append(w.items, warmups.Item{
			Phrase:     people.FromRhythm(g.ID, g.Phrase),
			Difficulty: g.Difficulty,
		})
		w.graded[g.ID] = g
		w.highest = max(w.highest, g.Tier)
		all = append(all, g.Difficulty)
	}
	w.middle = robust.Median(all)
	return w
}

// hear makes n warm-ups, the classes in turn, and listens to them, on all processors. The result
// depends on the seed alone.
func (w *world) hear(ctx context.Context, seed uint64, n int) ([]Warmup, error) {
	out := make([]Warmup, n)
	err := inParallel(ctx, n, func(i int) (err error) {
		if out[i], err = w.listen(ctx, w.scene(seed, i)); err != nil {
			return fmt.Errorf("warm-up %d: %w", i+1, err)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// inParallel calls do for 0 up to n on all processors. The error is the first by number, or ctx's.
func inParallel(ctx context.Context, n int, do func(i int) error) error {
	failures := make([]error, n)
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				failures[i] = do(i)
			}
		})
	}
	for i := range n {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	wait.Wait()
	for _, err := range failures {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}

// trueSD is how far the phrases' true difficulties lie from those stated, tiers: another group,
// another taste. What predicts difficulty from the notation alone errs by more, and says so; then
// less can be known of the group.
const trueSD = 0.5

// scene is warm-up number i. The leader chooses by the difficulties that are stated; how hard a
// phrase is for this group differs from that.
func (w *world) scene(seed uint64, i int) synth.Scene {
	crowds := warmups.Crowds()
	seed += uint64(i) * 0x9e3779b97f4a7c15
	scene := crowds[i%len(crowds)].Scene(seed, w.items)
	rng := rand.New(rand.NewPCG(seed, 78))
	harder := map[string]float64{}
	for k := range scene.Calls {
		c := &scene.Calls[k]
		if _, ok := harder[c.Phrase.ID]; !ok {
			harder[c.Phrase.ID] = trueSD * rng.NormFloat64()
		}
		c.Difficulty += harder[c.Phrase.ID]
	}
	return scene
}

// listen hears the answers of one warm-up at the places where they are.
func (w *world) listen(ctx context.Context, scene synth.Scene) (Warmup, error) {
	recording, err := synth.Generate(scene)
	if err != nil {
		return Warmup{}, err
	}
	analysis, err := onset.Analyse(ctx, &reader{recording.Samples})
	if err != nil {
		return Warmup{}, err
	}
	truth := recording.Truth
	out := Warmup{
		Class: scene.Class, People: truth.People, Level: truth.Level,
		Tier: truth.ComfortTier(0.7, w.highest),
	}
	rng := rand.New(rand.NewPCG(scene.Seed, 77))
	shapes := response.NewShapes(analysis.Kernel)
	var heard []response.Heard
	var stated []float64
	var answered []*synth.Response
	for i, round := range truth.Rounds {
		g, ok := w.graded[round.Phrase]
		if !ok || round.Response == nil {
			continue
		}
		heard = append(heard, response.Measure(analysis, shapes, place(g.Phrase, truth.Rounds, i, rng)))
		a := Answer{
			Phrase: g.ID, Difficulty: g.Difficulty, SD: g.SD, Attempt: round.Attempt,
			Share: round.Response.Share, Spread: round.Response.Spread,
		}
		for _, n := range round.Response.Notes {
			a.Notes = append(a.Notes, n.Participation)
		}
		answered = append(answered, round.Response)
		stated = append(stated, a.Difficulty)
		out.Answers = append(out.Answers, a)
	}
	calibration := response.Calibrate(heard, stated)
	out.Total = calibration.Total
	for i, h := range heard {
		out.Answers[i].Heard = h.Amounts(calibration)
		for _, x := range h.Extras {
			out.Answers[i].Extras = append(out.Answers[i].Extras, clappedAt(answered[i], h.Map.At(x.Step)))
		}
	}
	return out, nil
}

// clappedAt is the share of the people who clapped at a time that belongs to no note.
func clappedAt(truth *synth.Response, t float64) float64 {
	share := 0.0
	for _, x := range truth.Extras {
		if math.Abs(x.Time-t) < samePlace {
			share = max(share, x.Participation)
		}
	}
	return share
}

// place says where to look for the answer of a round.
func place(phrase rhythm.Phrase, rounds []synth.Round, i int, rng *rand.Rand) response.Answer {
	call, answer := rounds[i].Call, rounds[i].Response
	until := math.Inf(1)
	if i+1 < len(rounds) && rounds[i+1].Recalled {
		until = rounds[i+1].Call.Start
	}
	steps := float64(phrase.Steps())
	low := make([]bool, len(phrase.Strokes()))
	for k, s := range phrase.Strokes() {
		low[k] = s.Sound == rhythm.Stamp || s.Sound == rhythm.Pat
	}
	return response.Answer{
		Phrase:   phrase.WithTempo(call.Tempo),
		Expected: rhythm.TimeMap{Origin: answer.Due, StepSeconds: (call.End - call.Start) / steps},
		Guess: rhythm.TimeMap{
			Origin:      answer.Start + placeSD*rng.NormFloat64(),
			StepSeconds: (answer.End - answer.Start) / steps * (1 + tempoSD*rng.NormFloat64()),
		},
		Leader: call.Notes[max(0, len(call.Notes)-2):], Until: until, Low: low,
	}
}

// reader hands out samples.
type reader struct{ left []float32 }

func (r *reader) Read(samples []float32) (int, error) {
	n := copy(samples, r.left)
	r.left = r.left[n:]
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}
