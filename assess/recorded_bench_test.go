package assess

import (
	"bytes"
	"context"
	"fmt"
	"hash/fnv"
	"math"
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

// recordedTally is what a class of warm-ups of recorded sound adds up to.
type recordedTally struct {
	n, truth, found, reported, right int
	strokes, heard, near, nearer     int // of answers: that sounded, reported, within 50 and 25 ms of one
	tiers, close, flat               int
	minutes                          float64
	bias, participation              []float64
}

func (t *recordedTally) merge(o *recordedTally) {
	t.n, t.truth, t.found, t.reported = t.n+o.n, t.truth+o.truth, t.found+o.found, t.reported+o.reported
	t.right, t.strokes, t.heard = t.right+o.right, t.strokes+o.strokes, t.heard+o.heard
	t.near, t.nearer, t.tiers, t.close = t.near+o.near, t.nearer+o.nearer, t.tiers+o.tiers, t.close+o.close
	t.flat, t.minutes = t.flat+o.flat, t.minutes+o.minutes
	t.bias, t.participation = append(t.bias, o.bias...), append(t.participation, o.participation...)
}

const recordedHead = "%-19s %3s %5s  %6s %5s  %5s %5s %6s  %5s %5s  %9s  %5s %5s  %4s\n"

func (t *recordedTally) row(name string) string {
	part := func(a, b int) string {
		if b == 0 {
			return "-"
		}
		return fmt.Sprintf("%.2f", float64(a)/float64(b))
	}
	both := t.strokes + t.heard
	return fmt.Sprintf(recordedHead, name, fmt.Sprint(t.n), fmt.Sprint(t.truth), part(t.found, t.truth),
		part(t.found, t.reported), part(2*t.nearer, both), part(2*t.near, both),
		fmt.Sprintf("%.1f", 1000*mean(t.bias)), part(t.right, t.found), fmt.Sprintf("%.3f", mean(t.participation)),
		fmt.Sprintf("%.2f", float64(t.reported-t.found)/max(1e-9, t.minutes)), part(t.tiers, t.n),
		part(t.close, t.tiers), part(t.flat, t.n))
}

// judgeRecorded compares a report with what happened; late is what a codec adds to all times, seconds.
// Strokes of answers count that a quarter of the group or more clapped.
func judgeRecorded(r *Report, truth synth.Truth, late float64, highest int) *recordedTally {
	t := &recordedTally{n: 1, minutes: truth.Duration / 60}
	if r.Recording.Flattened != nil {
		t.flat = 1
	}
	used := make([]bool, len(r.Rounds))
	for _, want := range truth.Rounds {
		if want.Response == nil {
			continue
		}
		t.truth++
		for _, n := range want.Response.Notes {
			if n.Participation >= 0.25 {
				t.strokes++
			}
		}
		first := want.Response.Notes[0].Time + late
		best, apart := -1, 0.35
		for i, got := range r.Rounds {
			if got.Response != nil && !used[i] && math.Abs(got.Response.Start-first) < apart {
				best, apart = i, math.Abs(got.Response.Start-first)
			}
		}
		if best < 0 {
			continue
		}
		used[best] = true
		t.found++
		got := r.Rounds[best]
		right := got.Phrase != nil && *got.Phrase == want.Phrase
		if right {
			t.right++
		}
		for k, n := range want.Response.Notes {
			if right {
				t.participation = append(t.participation, math.Abs(got.Notes[k].Participation-n.Participation))
			}
			if n.Participation >= 0.25 {
				t.stroke(got.Response.Onsets, n.Time+late)
			}
		}
	}
	for _, got := range r.Rounds {
		if got.Response != nil {
			t.reported++
			t.heard += len(got.Response.Onsets)
		}
	}
	if r.Group.Tier != nil {
		t.tiers = 1
		if off := *r.Group.Tier - truth.ComfortTier(r.Group.Comfort, highest); off >= -1 && off <= 1 {
			t.close = 1
		}
	}
	return t
}

// stroke looks for a stroke among those heard.
func (t *recordedTally) stroke(heard []float64, at float64) {
	off := math.Inf(1)
	for _, h := range heard {
		if math.Abs(h-at) < math.Abs(off) {
			off = h - at
		}
	}
	if math.Abs(off) <= 0.05 {
		t.near++
		t.bias = append(t.bias, off)
	}
	if math.Abs(off) <= 0.025 {
		t.nearer++
	}
}
