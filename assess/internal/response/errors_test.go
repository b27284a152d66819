package response

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// answered makes a result: participation of each note, extras as step and participation in turn.
// All notes lie on the pulse.
func answered(p rhythm.Phrase, participation []float64, extras ...float64) Result {
	r := Result{Ratio: 1, Spread: 0.03, Start: p.Seconds(p.Strokes()[0].Step), End: p.Duration()}
	for i, s := range p.Strokes() {
		r.Notes = append(r.Notes, Note{
			Stroke: s, Expected: p.Seconds(s.Step),
			Played: p.Seconds(s.Step), Participation: participation[i],
		})
	}
	for i := 0; i+1 < len(extras); i += 2 {
		r.Extras = append(r.Extras, ExtraHeard{
			Step: extras[i], Time: p.StepSeconds() * extras[i],
			Participation: extras[i+1],
		})
	}
	return r
}

func TestUsualMistakesAreNamed(t *testing.T) {
	rests := rhythm.MustParse("x x . x", "4/4", 96)    // a step is a beat
	offBeat := rhythm.MustParse("x .x x x", "4/4", 96) // a step is half a beat
	dotted := rhythm.MustParse("x..x x x x", "4/4", 96)
	change := func(r Result, f func(r *Result)) Result {
		f(&r)
		return r
	}
	all := []float64{1, 1, 1, 1, 1}
	for _, test := range []struct {
		law    string
		phrase rhythm.Phrase
		result Result
		want   []Error
	}{
		{"nothing", rests, answered(rests, all), nil},
		{
			"a little of everything is nothing", rests,
			answered(rests, []float64{0.9, 0.8, 0.95}, 2, 0.15), nil,
		},
		{"clapping in a silent beat", rests, answered(rests, all, 2, 0.4), []Error{
			{FilledRest, 1, 3, "about 40 % clapped in the rest on beat 3", 0.4},
		}},
		{"an off-beat that is missing", offBeat, answered(offBeat, []float64{1, 0.5, 1, 1}), []Error{
			{DroppedOffBeat, 1, 2.5, "only about 50 % clapped the “and” of 2", 0.5},
		}},
		{"a note on the beat that is missing", rests, answered(rests, []float64{1, 0.4, 1}), []Error{
			{DroppedNote, 1, 2, "only about 40 % clapped beat 2", 0.6},
		}},
		{
			"an off-beat clapped on the beat", offBeat,
			answered(offBeat, []float64{1, 0.5, 1, 1}, 2, 0.45),
			[]Error{
				{MovedToBeat, 1, 2.5, "about 45 % clapped on beat 2 instead of the “and” of 2", 0.45},
			},
		},
		{"a dotted pair as two halves", dotted, answered(dotted, []float64{1, 0.4, 1, 1, 1}, 2, 0.5), []Error{
			{EvenedDotted, 1, 1.75, "about 50 % clapped the “a” of 1 too soon: long-short came out even", 0.5},
		}},
		{"clapping before the first note", rests, answered(rests, all, -0.5, 0.3), []Error{
			{EarlyEntry, 1, 1, "about 30 % came in before their turn", 0.3},
		}},
		{"one clap too many", rests, answered(rests, all, 4, 0.35), []Error{
			{ExtraTail, 2, 1, "about 35 % clapped once more after the end", 0.35},
		}},
		{"a clap between the notes", offBeat, answered(offBeat, all, 5, 0.3), []Error{
			{AddedStroke, 1, 3.5, "about 30 % added a clap on the “and” of 3", 0.3},
		}},
		{"a clap soon after a beat", offBeat, answered(offBeat, all, 4.43, 0.3), []Error{
			{AddedStroke, 1, 3.215, "about 30 % added a clap just after beat 3", 0.3},
		}},
		{"a clap shortly before a beat", offBeat, answered(offBeat, all, 5.6, 0.3), []Error{
			{AddedStroke, 1, 3.8, "about 30 % added a clap just before beat 4", 0.3},
		}},
		{"faster than the call", rests, change(answered(rests, all),
			func(r *Result) { r.Ratio = 1.05 }), []Error{
			{SpedUp, 0, 0, "answered 5 % faster than the call", 0.2},
		}},
		{"slower than the call", rests, change(answered(rests, all),
			func(r *Result) { r.Ratio = 0.94 }), []Error{
			{SlowedDown, 0, 0, "answered 6 % slower than the call", 0.24},
		}},
		{"hands far apart", rests, change(answered(rests, all), func(r *Result) { r.Spread = 0.08 }), []Error{
			{Apart, 0, 0, "claps too far apart to sound as one", 0.32},
		}},
		{
			"a whole answer before its turn", rests,
			change(answered(rests, all), func(r *Result) { r.Offset = -0.15 }),
			[]Error{
				{EarlyEntry, 0, 0, "came in about a quarter of a beat early", 0.3},
			},
		},
		{"next to nobody", rests, answered(rests, []float64{0.2, 0.2, 0.1}), []Error{
			{Thin, 0, 0, "few joined in", 0.8},
		}},
		{
			"a part of the room half a beat late", rests,
			answered(rests, []float64{0.6, 0.7, 0.65}, 0.5, 0.35, 1.5, 0.3, 3.5, 0.25),
			[]Error{
				{Split, 0, 0, "the room split: about 30 % clapped it half a beat late", 0.3},
			},
		},
		{
			"a part of the room half a beat early, and a rest filled", rests,
			answered(rests, []float64{0.6, 0.7, 0.65}, -0.5, 0.35, 0.5, 0.3, 2, 0.4, 2.5, 0.25),
			[]Error{
				{FilledRest, 1, 3, "about 40 % clapped in the rest on beat 3", 0.4},
				{Split, 0, 0, "the room split: about 30 % clapped it half a beat early", 0.3},
			},
		},
		{
			"claps between all notes on top of them are no split", rests,
			answered(rests, all, 0.5, 0.3, 1.5, 0.3, 3.5, 0.3),
			[]Error{
				{AddedStroke, 1, 1.5, "about 30 % added a clap on the “and” of 1", 0.3},
				{AddedStroke, 1, 2.5, "about 30 % added a clap on the “and” of 2", 0.3},
				{ExtraTail, 1, 4.5, "about 30 % clapped once more after the end", 0.3},
			},
		},
		{
			"a note too soon after a rest", rests,
			change(answered(rests, all), func(r *Result) { r.Notes[2].Played -= 0.12 }),
			[]Error{
				{ShortRest, 1, 4, "the rest before beat 4 was cut short by 0.12 s", 0.5},
			},
		},
		{
			"a dotted pair on the way to two to one", dotted,
			change(answered(dotted, all), func(r *Result) { r.Notes[1].Played -= 0.625 / 12 }),
			[]Error{
				{TowardTwoOne, 1, 1.75, "the “a” of 1 came early: more like swing, two to one, than dotted, three to one", 0.5},
			},
		},
	} {
		t.Run(test.law, func(t *testing.T) {
			got := nameErrors(test.phrase, test.result)
			require.Len(t, got, len(test.want), "%+v", got)
			for i, want := range test.want {
				assert.InDelta(t, want.Weight, got[i].Weight, 1e-9)
				want.Weight = got[i].Weight
				assert.InDelta(t, want.Beat, got[i].Beat, 1e-9)
				want.Beat = got[i].Beat
				assert.Equal(t, want, got[i])
			}
		})
	}
}

func TestTheMostTellingMistakeComesFirstAndNamesItsBar(t *testing.T) {
	p := rhythm.MustParse("x x . x | x . x x", "4/4", 96)
	got := nameErrors(p, answered(p, []float64{1, 1, 0.6, 1, 1, 1}, 5, 0.7, 2, 0.3))
	require.Len(t, got, 3)
	assert.Equal(t, "about 70 % clapped in the rest on beat 2 in bar 2", got[0].Text)
	assert.Equal(t, "only about 60 % clapped beat 4 in bar 1", got[1].Text)
	assert.Equal(t, "about 30 % clapped in the rest on beat 3 in bar 1", got[2].Text)
}

func TestDistancesAreMusicalWhereTheyAreNearOne(t *testing.T) {
	for _, test := range []struct {
		beats float64
		want  string
	}{
		{0.16, "0.1 s"},
		{0.22, "about a quarter of a beat"},
		{0.3, "about a third of a beat"},
		{0.55, "about half a beat"},
		{0.75, "0.47 s"},
		{1.1, "about a beat"},
		{1.9, "about two beats"},
		{3, "1.9 s"},
	} {
		assert.Equal(t, test.want, distance(0.625*test.beats, test.beats),
			"%g beats at 96 a minute", test.beats)
	}
}

func TestPlacesAreCountedAsTheMetreIs(t *testing.T) {
	p := rhythm.MustParse("x.x x.x", "6/8", 60)
	got := nameErrors(p, answered(p, []float64{1, 1, 1, 0.35}))
	require.Len(t, got, 1)
	assert.Equal(t, "only about 35 % clapped count 6", got[0].Text)
	two := rhythm.MustParse("x .x x x | x x x x", "4/4", 96)
	got = nameErrors(two, answered(two, []float64{1, 0.5, 1, 1, 1, 1, 1, 1}, 2, 0.45))
	require.Len(t, got, 1)
	assert.Equal(t, "about 45 % clapped on beat 2 instead of the “and” of 2 in bar 1", got[0].Text)
}

func TestAShareThatNoNoteExplainsHasAReason(t *testing.T) {
	notes := func(least float64) []Note {
		return []Note{{Participation: 0.95}, {Participation: least}, {Participation: 0.9}}
	}
	got := scattered(Result{Notes: notes(0.85), Share: 0.55})
	require.Len(t, got, 1)
	assert.Equal(t, Scattered, got[0].Kind)
	assert.Contains(t, got[0].Text, "may have missed", "which is a guess, and said as one")
	assert.Empty(t, scattered(Result{Notes: notes(0.6), Share: 0.55}), "the weakest note explains it")
}

func TestEveryMistakeHasAHint(t *testing.T) {
	for _, k := range []Kind{
		FilledRest, DroppedOffBeat, DroppedNote, MovedToBeat, EvenedDotted,
		ShortRest, TowardTwoOne, EarlyEntry, ExtraTail, AddedStroke, SpedUp, SlowedDown, Apart,
		Split, Thin, Scattered,
	} {
		assert.NotEmpty(t, Hint(k), k)
	}
	assert.Len(t, hints, 16, "and no hint is for nothing")
	assert.Empty(t, Hint("unheard-of"))
}

func TestAFewHandsBesideANoteAreLateForIt(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 120) // a note every half second
	step := float64(p.Steps()) / 4
	for _, test := range []struct {
		law   string
		at    float64 // beats
		share float64
		want  int
	}{
		{"between the notes a few are mentioned", 0.5, 0.12, 1},
		{"beside a note they are not", 1.2, 0.12, 0},
		{"many there are", 1.2, 0.3, 1},
		{"next to nobody never is", 0.5, 0.05, 0},
	} {
		t.Run(test.law, func(t *testing.T) {
			h := Heard{
				Answer: Answer{Phrase: p, Expected: p.TimeMap(0)}, Map: p.TimeMap(0),
				Spread: 0.03, Notes: []float64{1, 1, 1, 1},
				Extras: []Extra{{Step: test.at * step, Energy: test.share}},
			}
			assert.Len(t, h.Result(Calibration{Full: [4]float64{1}}).Extras, test.want)
		})
	}
}

func TestASpreadIsSteadiedByTheRecordingsOwn(t *testing.T) {
	alone := Calibration{}
	assert.InDelta(t, 0.034, alone.steadied(0.034), 0.002, "the usual spread stays")
	assert.Greater(t, alone.steadied(0.016), 0.016, "a tight one was fitted too tight")
	assert.Less(t, alone.steadied(0.1), 0.1, "a loose one too loose")
	tight, loose := Calibration{Spread: 0.02}, Calibration{Spread: 0.06}
	before := 0.0
	for _, s := range spreads {
		assert.Less(t, tight.steadied(s), loose.steadied(s), "a loose group claps loosely")
		assert.Greater(t, loose.steadied(s), before)
		before = loose.steadied(s)
	}
}
