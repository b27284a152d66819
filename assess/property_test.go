package assess

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/patterns/bank"
)

// Rates, samples a second: of the one warm-up that is resampled, and of the others.
const (
	base = 48000
	low  = 16000
)

// scene is a short warm-up of the demo's group with some of its calls; their tempo is that of the
// demo times the given number.
func scene(rate int, tempo float64, calls ...int) synth.Scene {
	s := synth.DemoScene()
	all := s.Calls
	s.Rate, s.Calls = rate, nil
	s.Flow.TalkBefore, s.Flow.TalkAfter, s.Flow.Practice, s.Flow.After = 0, 0, 0, 0
	for _, i := range calls {
		c := all[i]
		c.Tempo = tempo * cmp.Or(c.Tempo, c.Phrase.Tempo)
		s.Calls = append(s.Calls, c)
	}
	return s
}

// warmUp is the sound of a scene between -0.4 and 0.4 of full scale.
func warmUp(scene synth.Scene) (sound []float32, truth synth.Truth) {
	recording, err := synth.Generate(scene)
	if err != nil {
		panic(err)
	}
	peak := float32(0)
	for _, x := range recording.Samples {
		peak = max(peak, x, -x)
	}
	return scaled(recording.Samples, 0.4/peak), recording.Truth
}

// heardWarmUp is a warm-up with what is heard in it.
type heardWarmUp struct {
	sound  []float32
	truth  synth.Truth
	report *Report
}

func listenTo(s synth.Scene) (w heardWarmUp) {
	w.sound, w.truth = warmUp(s)
	var err error
	if w.report, err = Recording(context.Background(), bytes.NewReader(wav(s.Rate, w.sound)),
		bank.Starter(), Options{}); err != nil {
		panic(err)
	}
	return w
}

// plain is one warm-up, made once.
var plain = sync.OnceValue(func() heardWarmUp { return listenTo(scene(low, 1, 0, 1, 2, 3, 4)) })

func reportOn(t testing.TB, file []byte) *Report {
	t.Helper()
	report, err := Recording(t.Context(), bytes.NewReader(file), bank.Starter(), Options{})
	require.NoError(t, err)
	return report
}

// difference is how far two reports of what should be the same are apart.
type difference struct {
	participation, meanParticipation, share, time float64
	tier, level                                   float64
	phrases                                       bool
}

// compare takes off the shift in seconds of b.
func compare(a, b *Report, shift float64) difference {
	d := difference{phrases: len(a.Rounds) == len(b.Rounds)}
	var misses []float64
	for i := range min(len(a.Rounds), len(b.Rounds)) {
		x, y := a.Rounds[i], b.Rounds[i]
		if name(x) != name(y) || len(x.Notes) != len(y.Notes) {
			d.phrases = false
			continue
		}
		d.time = max(d.time, math.Abs(y.Call.Start-shift-x.Call.Start))
		for k := range x.Notes {
			misses = append(misses, math.Abs(x.Notes[k].Participation-y.Notes[k].Participation))
		}
		if x.Share != nil && y.Share != nil {
			d.share = max(d.share, math.Abs(*x.Share-*y.Share))
		}
	}
	if len(misses) > 0 {
		d.participation, d.meanParticipation = slices.Max(misses), mean(misses)
	}
	if a.Group.Tier != nil && b.Group.Tier != nil {
		d.tier = math.Abs(float64(*a.Group.Tier - *b.Group.Tier))
		d.level = math.Abs(*a.Group.Ability - *b.Group.Ability)
	} else if a.Group.Tier != b.Group.Tier {
		d.tier = math.Inf(1)
	}
	return d
}

func (d difference) String() string {
	return fmt.Sprintf("phrases %v, participation %.3f (mean %.3f), share %.3f, time %.4f s, tier %g, level %.2f", d.phrases, d.participation, d.meanParticipation, d.share, d.time, d.tier, d.level)
}

// Shares in a recording are relative to the best heard rounds of the whole of it, so only what was
// called, and when, is the same.
func TestTwoWarmUpsInARowGiveTheRoundsOfBoth(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	first, second := plain(), listenTo(scene(low, 1, 5, 6, 7))
	for name, gap := range map[string]float64{"at once": 0, "after a pause": 7.7} {
		both := reportOn(t, wav(low, slices.Concat(first.sound, make([]float32, int(gap*low)), second.sound)))
		n := len(first.report.Rounds)
		require.Len(t, both.Rounds, n+len(second.report.Rounds), name)
		a, b := *both, *both
		a.Rounds, b.Rounds = both.Rounds[:n], both.Rounds[n:]
		for _, d := range []difference{
			compare(first.report, &a, 0),
			compare(second.report, &b, gap+float64(len(first.sound))/low),
		} {
			t.Logf("%s: %v", name, d)
			assert.True(t, d.phrases, name)
			assert.LessOrEqual(t, d.time, 0.002, name)
		}
	}
}

// The weakest still manage plain beats; a group that does not even do that has nothing that the
// rest could be compared with.
func TestAWeakerGroupIsPlacedLower(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	last := math.Inf(1)
	for _, level := range []float64{8, 5, 2} {
		s := scene(low, 1, 0, 2, 4, 5, 6)
		s.Group.Level = level
		report := listenTo(s).report
		require.NotNil(t, report.Group.Ability)
		t.Logf("level %g: %.2f", level, *report.Group.Ability)
		assert.Less(t, *report.Group.Ability, last-0.5)
		last = *report.Group.Ability
	}
}

// Tapped answers with ever more left out, added and moved: the mean score of many falls with each
// step.
func TestMoreMistakesScoreLower(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	bank := bank.Starter()
	random := rand.New(rand.NewPCG(7, 1))
	last := 2.0
	for _, rate := range []float64{0, 0.1, 0.2, 0.35, 0.5, 0.7} {
		var scores []float64
		for range 12 {
			var table strings.Builder
			table.WriteString("round,role,time_s\n")
			at := 1.0
			for i, id := range []string{"gangway", "fog", "throw", "bell", "load", "clave"} {
				entry, ok := bank.Find(id)
				require.True(t, ok, id)
				step := 60 / entry.Phrase.Tempo() *
					float64(entry.Phrase.Meter().Beats()*entry.Phrase.Bars()) / float64(entry.Phrase.Steps())
				length := step * float64(entry.Phrase.Steps())
				for _, stroke := range entry.Phrase.Strokes() {
					note := float64(stroke.Step) * step
					fmt.Fprintf(&table, "%d,call,%.4f\n", i, at+note)
					if random.Float64() < rate {
						switch random.IntN(3) {
						case 0: // left out
							continue
						case 1: // added
							fmt.Fprintf(&table, "%d,response,%.4f\n", i, at+length+length*random.Float64())
						default:
							note += (0.1 + 0.15*random.Float64()) * 60 / entry.Phrase.Tempo()
						}
					}
					fmt.Fprintf(&table, "%d,response,%.4f\n", i, at+length+note)
				}
				at += 3 * length
			}
			report, err := Taps(t.Context(), strings.NewReader(table.String()), bank, Options{})
			require.NoError(t, err)
			for _, r := range report.Rounds {
				if r.Score != nil {
					scores = append(scores, *r.Score)
				} else {
					scores = append(scores, 0)
				}
			}
		}
		t.Logf("rate %g: score %.3f", rate, mean(scores))
		assert.Less(t, mean(scores), last-0.01)
		last = mean(scores)
	}
}

// Rounds are taken as they come; in which order must not matter, but for repeated phrases, where a
// second try is worth less.
func TestTheEstimateDoesNotDependOnTheOrderOfRounds(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	bank := bank.Starter()
	random := rand.New(rand.NewPCG(7, 2))
	for range 6 {
		var heard []Heard
		for _, i := range random.Perm(len(bank.Entries))[:4+random.IntN(6)] {
			h := Heard{
				Phrase: bank.Entries[i].ID, Share: random.Float64(),
				ShareSD: 0.05 + 0.2*random.Float64(),
			}
			if random.IntN(4) == 0 {
				h.Verdict = []ability.Verdict{ability.Got, ability.Partly, ability.Lost}[random.IntN(3)]
			}
			heard = append(heard, h)
		}
		estimate := func() Group {
			session := NewSession(bank, Options{})
			var last *Report
			for _, h := range heard {
				var err error
				last, err = session.Add(h)
				require.NoError(t, err)
			}
			return last.Group
		}
		want := estimate()
		random.Shuffle(len(heard), func(i, j int) { heard[i], heard[j] = heard[j], heard[i] })
		got := estimate()
		assert.InDelta(t, *want.Ability, *got.Ability, 1e-6)
		assert.InDelta(t, *want.AbilitySD, *got.AbilitySD, 1e-6)
		assert.Equal(t, want.Tier, got.Tier)
		assert.InDeltaSlice(t, want.TierProbabilities, got.TierProbabilities, 1e-6)
	}
}
