package assess

import (
	"bytes"
	"context"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"clapladder.example/assess/internal/figures"
	"clapladder.example/assess/internal/realsound"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/assess/internal/synth/warmups"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// material is what warm-ups of recorded sound are built from, of one half.
type material struct {
	hands  [][][]float64
	rooms  [][]float64
	babble [][]float32 // of six people
	crowd  [][]float32 // of twenty
	noise  [][]float32
}

// anyOf is nil where there is none.
func anyOf[T any](of [][]T, rng *rand.Rand) []T {
	if len(of) == 0 {
		return nil
	}
	return of[rng.IntN(len(of))]
}

func findMaterial(b *testing.B, l realsound.Library, untouched bool) (m material) {
	rng := rand.New(rand.NewPCG(9, 9))
	m.hands, m.rooms = l.Hands(b, untouched), l.Rooms(b, untouched)
	for range 4 {
		if x := l.Babble(b, 6, untouched, rng); x != nil {
			m.babble, m.crowd = append(m.babble, x), append(m.crowd, l.Babble(b, 20, untouched, rng))
		}
		if x := l.Noise(b, untouched, rng); x != nil {
			m.noise = append(m.noise, x)
		}
	}
	return m
}

// recordedClass is a kind of warm-up of recorded sound.
type recordedClass struct {
	name  string
	needs func(m material) bool // nil: nothing but hands
	shape func(s *synth.Scene, from *synth.Material, m material, rng *rand.Rand)
	codec *codec // of the file; nil: none
}

func (c recordedClass) possible(m material) string {
	if c.needs != nil && !c.needs(m) {
		return "none of that sound"
	}
	if c.codec != nil {
		return c.codec.missing()
	}
	return ""
}

func hasRooms(m material) bool  { return len(m.rooms) > 0 }
func hasBabble(m material) bool { return len(m.babble) > 0 }
func hasNoise(m material) bool  { return len(m.noise) > 0 }

type shaping = func(s *synth.Scene, from *synth.Material, m material, rng *rand.Rand)

// talking puts recorded talk at a level below the strokes.
func talking(db float64, of func(m material) [][]float32) shaping {
	return func(s *synth.Scene, from *synth.Material, m material, rng *rand.Rand) {
		s.Background.Voices, s.Background.TalkDB, from.Talk = 1, db, anyOf(of(m), rng)
	}
}

// noisy puts recorded noise at a level below the strokes.
func noisy(db float64) shaping {
	return func(s *synth.Scene, from *synth.Material, m material, rng *rand.Rand) {
		s.Background.NoiseDB, from.Noise = db, anyOf(m.noise, rng)
	}
}

// through sends the sound through a phone's effects as the made-up class of that name has them.
func through(name string) shaping {
	return func(s *synth.Scene, _ *synth.Material, _ material, _ *rand.Rand) {
		class, _ := warmups.PresetNamed(name)
		_, items := suiteBank()
		s.Phone = class.Scene(s.Seed, items).Phone
	}
}

func sixVoices(m material) [][]float32    { return m.babble }
func twentyVoices(m material) [][]float32 { return m.crowd }

func nothing(*synth.Scene, *synth.Material, material, *rand.Rand) {}

var recordedClasses = []recordedClass{
	{name: "claps", shape: nothing},
	{name: "few hands", shape: func(s *synth.Scene, _ *synth.Material, _ material, _ *rand.Rand) {
		s.Group.People = 4
	}},
	{name: "hall", shape: func(s *synth.Scene, _ *synth.Material, _ material, rng *rand.Rand) {
		s.Room.RT60 = 1.6 + 0.6*rng.Float64()
	}},
	{
		name: "measured room", needs: hasRooms,
		shape: func(_ *synth.Scene, from *synth.Material, m material, rng *rand.Rand) {
			from.Room = anyOf(m.rooms, rng)
		},
	},
	{name: "noise 20 dB below", needs: hasNoise, shape: noisy(-20)},
	{name: "noise 10 dB below", needs: hasNoise, shape: noisy(-10)},
	{name: "noise 4 dB below", needs: hasNoise, shape: noisy(-4)},
	{name: "babble 20 dB below", needs: hasBabble, shape: talking(-20, sixVoices)},
	{name: "babble 10 dB below", needs: hasBabble, shape: talking(-10, sixVoices)},
	{name: "babble 4 dB below", needs: hasBabble, shape: talking(-4, sixVoices)},
	{name: "crowd 10 dB below", needs: hasBabble, shape: talking(-10, twentyVoices)},
	{name: "limiter", shape: through("limiter")},
	{name: "slow levelling", shape: through("slow-levelling")},
	{name: "strong levelling", shape: through("strong-levelling")},
	{name: "hard clipped", shape: through("hard-clipped")},
	{name: "gated", shape: through("gated")},
	{name: "narrow band", shape: through("narrow-band")},
	{name: "call chain", shape: through("call-chain")},
	{name: "Opus 8 kbit/s", shape: nothing, codec: &codec{"libopus", "ogg", []string{"-b:a", "8k"}}},
	{name: "GSM", shape: nothing, codec: &codec{"libgsm", "gsm", []string{"-ar", "8000"}}},
	{name: "MP3 24 kbit/s", shape: nothing, codec: &codec{"libmp3lame", "mp3", []string{"-b:a", "24k"}}},
	{name: "AAC 24 kbit/s", shape: nothing, codec: &codec{"aac", "m4a", []string{"-b:a", "24k"}}},
	{
		name: "AMR 12.2 kbit/s", shape: nothing,
		codec: &codec{"libopencore_amrnb", "amr", []string{"-ar", "8000", "-b:a", "12.2k"}},
	},
}

// recordedScene draws a warm-up of a class: people, calls and times are made up, the sound is recorded.
func (c recordedClass) scene(seed uint64, m material, items []warmups.Item) (synth.Scene, synth.Material) {
	h := fnv.New64a()
	h.Write([]byte(c.name))
	rng := rand.New(rand.NewPCG(seed, h.Sum64()))
	class := warmups.Sessions()[0]
	s := class.Scene(seed, items)
	s.Class, s.Rate, s.Leader.Sound = c.name, realsound.Rate, sounds.Clap
	s.Background, s.Phone = synth.Background{NoiseDB: -40}, acoustics.Phone{LowCut: 90}
	s.Flow.Practice, s.Flow.After, s.Flow.TalkBefore, s.Flow.TalkAfter = 0, 0, 0, 0
	s.Flow.CountIn, s.Flow.Praise = synth.NoCountIn, false
	s.Calls = s.Calls[:min(8, len(s.Calls))]
	s.Room.RT60 = min(s.Room.RT60, 1)
	from := synth.Material{Hands: m.hands}
	c.shape(&s, &from, m, rng)
	return s, from
}

// clapItems are the phrases of the bank that are clapped throughout.
func clapItems(items []warmups.Item) []warmups.Item {
	return slices.DeleteFunc(slices.Clone(items), func(i warmups.Item) bool {
		return slices.ContainsFunc(i.Phrase.Notes, func(n people.Note) bool { return n.Sound != sounds.Clap })
	})
}

// BenchmarkRecorded prints how warm-ups of recorded sound are heard, and what is claimed of recordings
// without call and response: recorded claps in rooms, recorded talk and noise, and what phones do. The
// folders that SOUND_FOLDERS names hold the sounds; nothing of them is kept. It takes the untouched half
// of their sources, with SPLIT=tuning the other; SCENES of each class (4), CLASS as in
// [BenchmarkQuality].
func BenchmarkRecorded(b *testing.B) {
	library := realsound.Find(b)
	untouched := os.Getenv("SPLIT") != "tuning"
	m := findMaterial(b, library, untouched)
	if len(m.hands) == 0 {
		b.Skip("no recorded claps in the folders that " + realsound.Variable + " names")
	}
	split := warmups.Tuning
	if untouched {
		split = warmups.Untouched
	}
	for b.Loop() {
		out := figures.To(b, "recorded.txt")
		fmt.Fprintf(out, "Warm-ups of recorded sound: %d sources of hands, %d measured rooms\n\n",
			len(m.hands), len(m.rooms))
		fmt.Fprintf(out, recordedHead, "class", "n", "true", "recall", "prec", "F25", "F50", "bias", "right",
			"MAE", "false/min", "given", "+-1", "flat")
		var all recordedTally
		for _, c := range recordedClasses {
			if !asked(c.name) {
				continue
			}
			if why := c.possible(m); why != "" {
				fmt.Fprintf(out, "%-19s left out: %s\n", c.name, why)
				continue
			}
			sum := c.run(b, environment("SCENES", 4), split, m)
			fmt.Fprint(out, sum.row(c.name))
			all.merge(sum)
		}
		fmt.Fprint(out, all.row("all"))
		benchReels(b, out, library, untouched)
	}
}

// asked says whether CLASS lets a class pass.
func asked(class string) bool {
	classes := os.Getenv("CLASS")
	return classes == "" || slices.Contains(strings.Split(classes, ","), class)
}

func (c recordedClass) run(b *testing.B, n int, split warmups.Split, m material) *recordedTally {
	phrases, items := suiteBank()
	items = clapItems(items)
	highest := 0
	for _, g := range patterns.GradeBank(difficulty.DefaultModel(), phrases) {
		highest = max(highest, g.Tier)
	}
	results := make([]*recordedTally, n)
	var wait sync.WaitGroup
	turns := make(chan struct{}, 2)
	for i := range n {
		turns <- struct{}{}
		wait.Go(func() {
			defer func() { <-turns }()
			scene, from := c.scene(warmups.SessionSeed(7, i, split), m, items)
			results[i] = c.listen(b, scene, from, phrases, highest)
		})
	}
	wait.Wait()
	sum := &recordedTally{}
	for _, r := range results {
		sum.merge(r)
	}
	return sum
}

func (c recordedClass) listen(b *testing.B, scene synth.Scene, from synth.Material, phrases *bank.Bank,
	highest int,
) *recordedTally {
	recording, err := synth.GenerateWith(scene, from, nil)
	if err != nil {
		b.Error(err)
		return &recordedTally{}
	}
	samples, late := recording.Samples, 0.0
	if c.codec != nil {
		samples, late = c.codec.apply(b, samples)
	}
	var file bytes.Buffer
	if err := signal.WriteWAV(&file, samples, realsound.Rate); err != nil {
		b.Error(err)
	}
	report, err := Recording(context.Background(), &file, phrases, Options{Repertoire: bank.StarterRepertoire()})
	if err != nil {
		b.Error(err)
		return &recordedTally{}
	}
	return judgeRecorded(report, recording.Truth, late, highest)
}
