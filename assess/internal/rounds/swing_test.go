package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// swingCase is one call as it was clapped: a phrase with the second halves of its beats late by so
// much of a beat, and what it was taken for.
type swingCase struct {
	notation string
	late     float64
	template int
}

// asChosen are calls one after the other, taken for a phrase of the bank or for one of their own.
func asChosen(templates []Template, calls []swingCase) (*pass, []proposal) {
	var times []float64
	start := 1.0
	for _, c := range calls {
		phrase := rhythm.MustParse(c.notation, "4/4", 90)
		for _, s := range phrase.Strokes() {
			times = append(times, start+swungPlace(phrase, s.Step, c.late)*phrase.StepSeconds())
		}
		start += 3 * phrase.Duration()
	}
	p := strokesOf(times, templates...)
	var chosen []proposal
	first := 0
	for _, c := range calls {
		phrase := rhythm.MustParse(c.notation, "4/4", 90)
		q := proposal{template: c.template, phrase: phrase}
		for range phrase.Strokes() {
			q.matched = append(q.matched, first)
			first++
		}
		chosen = append(chosen, p.timed(q))
	}
	return p, chosen
}

func TestCallsThatShareASwingAreThePhrasesTheyAre(t *testing.T) {
	var bank []Template
	const long = "xx xx xx xx | xx xx xx x"
	for _, notation := range []string{"xx .x x x", "x .x .x x", "xx x xx x", "x x x x", long} {
		bank = append(bank, Template{notation, rhythm.MustParse(notation, "4/4", 90)})
	}
	for _, test := range []struct {
		law   string
		calls []swingCase
		want  []int // templates
	}{
		{
			"three calls with one swing",
			[]swingCase{{"xx .x x x", .1, -1}, {"x .x .x x", .1, -1}, {"xx x xx x", .1, -1}},
			[]int{0, 1, 2},
		}, {
			"triplets throughout",
			[]swingCase{{"xx .x x x", .167, -1}, {"x .x .x x", .167, -1}, {"xx x xx x", .167, -1}},
			[]int{0, 1, 2},
		}, {
			"one call, however long, is another rhythm",
			[]swingCase{{long, .1, -1}},
			[]int{-1},
		}, {
			"each its own swing is none",
			[]swingCase{{"xx .x x x", .04, -1}, {"x .x .x x", .18, -1}},
			[]int{-1, -1},
		}, {
			"where phrases are clapped straight nobody swings",
			[]swingCase{
				{"xx .x x x", .1, -1},
				{"x .x .x x", .1, -1},
				{"xx x xx x", .1, -1},
				{"xx x xx x", 0, 2},
				{"x .x .x x", 0, 1},
				{"xx .x x x", 0, 0},
			},
			[]int{-1, -1, -1, 2, 1, 0},
		}, {
			"a rhythm that is no phrase stays its own",
			[]swingCase{
				{"xx .x x x", .1, -1},
				{"x .x .x x", .1, -1},
				{"xx x xx x", .1, -1},
				{"x xx xx x", .1, -1},
				{"x..x .x x x", .1, -1},
			},
			[]int{0, 1, 2, -1, -1},
		},
	} {
		t.Run(test.law, func(t *testing.T) {
			p, chosen := asChosen(bank, test.calls)
			named := p.swung(chosen)
			require.Len(t, named, len(test.want))
			for i, c := range named {
				assert.Equal(t, test.want[i], c.template, "call %d", i+1)
			}
		})
	}
}

func TestACallReadWithSwingKeepsItsBeatAndItsAnswer(t *testing.T) {
	bank := []Template{
		{"a", rhythm.MustParse("xx .x x x", "4/4", 90)},
		{"b", rhythm.MustParse(".x xx x x", "4/4", 90)},
		{"c", rhythm.MustParse("xx x xx x", "4/4", 90)},
	}
	p, chosen := asChosen(bank, []swingCase{
		{"xx .x x x", .1, -1}, {".x xx x x", .1, -1}, {"xx x xx x", .1, -1},
	})
	beat := 60.0 / 90
	want := chosen[1].call.Origin
	for i := range chosen {
		c := &chosen[i]
		c.answer = &Answer{Map: c.call}
		c.from = p.attacks[c.matched[0]].Time + 4*beat // the answer's first clap is swung, too
	}
	named := p.swung(chosen)
	for i, c := range named {
		require.Equal(t, i, c.template)
		assert.InEpsilon(t, beat, c.call.BeatSeconds(c.phrase), 1e-6)
		assert.InDelta(t, 4*beat, c.answer.Map.Origin-c.call.Origin, 1e-3, "on the next bar")
		assert.False(t, c.guessed)
	}
	assert.InDelta(t, want, named[1].call.Origin, 0.1, "the bar begins before an off-beat stroke")
}

func TestAStrokeFarOffItsSwungPlaceFitsNoPhrase(t *testing.T) {
	phrase := rhythm.MustParse("xx .x x x", "4/4", 90)
	var times []float64
	for _, s := range phrase.Strokes() {
		times = append(times, swungPlace(phrase, s.Step, .1)*phrase.StepSeconds())
	}
	cost, _, fits := swungCost(phrase, .1, times)
	assert.True(t, fits)
	assert.InDelta(t, 0, cost, 1e-9)
	times[3] += 0.08
	_, _, fits = swungCost(phrase, .1, times)
	assert.False(t, fits)
}
