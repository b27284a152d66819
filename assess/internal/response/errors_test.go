package response

import (
	"math"
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

func TestShareRisesWithTheWeakestNoteAndFallsWithExtras(t *testing.T) {
	for _, notation := range []string{"x x x x", "xx x xx x", "xxxx xx xxxx xx"} {
		p := rhythm.MustParse(notation, "4/4", 96)
		notes := func(weakest float64) []float64 {
			out := make([]float64, len(p.Strokes()))
			for i := range out {
				out[i] = 1
			}
			out[1] = weakest
			return out
		}
		before := -1.0
		for _, weakest := range []float64{0, 0.25, 0.5, 0.75, 1} {
			now := answeredAs(notes(weakest), nil, 0.03)
			assert.GreaterOrEqual(t, now, before)
			assert.True(t, now >= 0 && now <= 1)
			before = now
		}
		assert.Greater(t, before, 0.7, "everybody clapped everything")
		for _, extra := range []float64{0.2, 0.5, 1} {
			extras := []float64{extra}
			now := answeredAs(notes(1), extras, 0.03)
			assert.Less(t, now, before)
			before = now
		}
		tight, loose := answeredAs(notes(0.5), nil, 0.02), answeredAs(notes(0.5), nil, 0.06)
		assert.Greater(t, tight, loose, "who is losing a phrase claps farther apart")
	}
}

// answeredAs is the estimated share of a group that answers with such energies, and usually claps
// within 30 ms.
func answeredAs(notes, extras []float64, spread float64) float64 {
	a := Amounts{
		Notes: notes, All: notes, Usual: extras, Extras: extras, Spread: spread,
		Looser: math.Log(spread / 0.03),
	}
	return clamp01(a.share().Value)
}

func TestErrorOfAShareIsLeastWhereAllWasClapped(t *testing.T) {
	assert.Less(t, ShareError(1), ShareError(0.8))
	assert.Less(t, ShareError(0.8), ShareError(0.5))
	for share := -0.5; share < 1.5; share += 0.1 {
		assert.True(t, ShareError(share) >= LeastShareError && ShareError(share) < 0.3)
	}
}

func TestNobodyIsHeardWhereNothingSounds(t *testing.T) {
	silent := Amounts{
		Notes: make([]float64, 5), All: make([]float64, 5), Spread: 0.03,
		Quarters: [3]float64{0.7, 0.9, 1},
	}
	for i := range 5 {
		assert.Zero(t, silent.participation(i, 0.5))
	}
}

func TestParticipationRisesWithTheEnergyOfTheNote(t *testing.T) {
	before := -1.0
	for _, own := range []float64{0, 0.2, 0.4, 0.6, 0.8, 1} {
		a := Amounts{All: []float64{0.9, own, 0.8, 1}, Spread: 0.03, Quarters: [3]float64{0.7, 0.9, 1}}
		now := a.participation(1, 0.5)
		assert.Greater(t, now, before)
		before = now
	}
}

func TestScoreIsTheFMeasure(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 96)
	assert.InDelta(t, 1, score(answered(p, []float64{1, 1, 1, 1})), 1e-12)
	assert.Zero(t, score(answered(p, []float64{0, 0, 0, 0}, 4, 1)))
	// Three of four notes and one stroke beside: recall 3/4, precision 3/4.
	assert.InDelta(t, 0.75, score(answered(p, []float64{1, 1, 1, 0}, 4, 1)), 1e-12)
	// Everything at half: recall 1/2, precision 1; F = 2·½·1/(3/2).
	assert.InDelta(t, 2.0/3, score(answered(p, []float64{0.5, 0.5, 0.5, 0.5})), 1e-12)
}

func TestCalibrate(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 96)
	body := rhythm.MustParse("x s x s", "4/4", 96)
	heard := func(p rhythm.Phrase,
		energy ...float64,
	) Heard {
		return Heard{Answer: Answer{Phrase: p}, Notes: energy}
	}
	for _, test := range []struct {
		law        string
		heard      []Heard
		difficulty []float64
		clap       float64
		stamp      float64
		sure       bool
	}{
		{"nothing heard", nil, nil, 0, 0, false},
		{
			"an easy phrase is the measure",
			[]Heard{heard(p, 2, 2, 2, 2), heard(p, 1, 1, 1, 1)},
			[]float64{1, 5},
			2, 0, true,
		},
		{
			"without one the best notes are",
			[]Heard{heard(p, 2, 1, 1, 1), heard(p, 1, 1, 1, 1)},
			[]float64{4, 5},
			1, 0, false,
		},
		{
			"an easy phrase that few answered does not lower it",
			[]Heard{heard(p, 0.1, 0.1, 0.1, 0.1), heard(p, 2, 2, 2, 2)},
			[]float64{1, 5},
			1.6, 0, true,
		},
		{"stamps are measured apart", []Heard{heard(body, 2, 6, 2, 6)}, []float64{3}, 2, 6, false},
	} {
		t.Run(test.law, func(t *testing.T) {
			c := Calibrate(test.heard, test.difficulty)
			assert.InDelta(t, test.clap, c.Full[rhythm.Clap], 1e-9)
			assert.InDelta(t, test.stamp, c.Full[rhythm.Stamp], 1e-9)
			assert.Equal(t, test.sure, c.Sure)
		})
	}
}

func TestAllAnswersCorrectWhatThePlainestPhrasesGive(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 96)
	full := func(plain float64, others ...float64) float64 {
		heard := []Heard{{Answer: Answer{Phrase: p}, Notes: []float64{plain, plain, plain, plain}}}
		difficulty := []float64{1}
		for _, x := range others {
			h := Heard{Answer: Answer{Phrase: p}, Notes: []float64{x, x, x, x}}
			h.Extras = []Extra{{Step: 0.5, Energy: 1 - x}} // who left a note out clapped elsewhere
			heard, difficulty = append(heard, h), append(difficulty, 5)
		}
		return Calibrate(heard, difficulty).Full[rhythm.Clap]
	}
	right := full(1, 0.9, 0.9, 0.9, 0.9, 0.9)
	low, high := full(0.8, 0.9, 0.9, 0.9, 0.9, 0.9), full(1.2, 0.9, 0.9, 0.9, 0.9, 0.9)
	assert.Greater(t, low/0.8, right, "the plain phrase was heard too low")
	assert.Less(t, high/1.2, right, "and here too high")
	assert.Less(t, high-low, 0.3, "so that the full group depends less on it")
	assert.InDelta(t, 0.8, full(0.8, 0.6), 1e-9, "a few answers correct nothing")
	assert.InDelta(t, 1, full(1, 0, 0, 0, 0, 0), 0.35, "and silence hardly more")
}

func TestWhatIsHeardOfAShareRisesWithIt(t *testing.T) {
	for notes := 2; notes <= 30; notes++ {
		mean, variance := ReadingOf(readingMean[:], notes), ReadingOf(readingVariance[:], notes)
		before := -1.0
		for p := 0.0; p <= 1; p += 0.05 {
			heard := mean[0] + p*(mean[1]+p*mean[2])
			assert.Greater(t, heard, before, "%d notes", notes)
			assert.Positive(t, variance[0]+p*(variance[1]+p*variance[2]), "%d notes", notes)
			f := ReadingFeatures(p, notes)
			assert.InDelta(t, weigh(readingMean[:], f[:]), heard, 1e-12)
			before = heard
		}
		assert.Greater(t, mean[0], 0.0, "an estimate keeps to the middle")
		assert.Less(t, before, 1.1)
	}
}

func TestAmountsScaleWithTheFullGroup(t *testing.T) {
	a := Amounts{
		Notes: []float64{1, 0.5}, All: []float64{1, 0.6}, Extras: []float64{0.2}, Usual: []float64{0.2},
		Beside: 0.1, Quarters: [3]float64{0.5, 0.7, 0.9},
	}
	b := a.Scaled(0.5)
	assert.Equal(t, []float64{0.5, 0.25}, b.Notes)
	assert.Equal(t, []float64{0.1}, b.Extras)
	assert.InDelta(t, a.total()/2, b.total(), 1e-12)
	assert.Equal(t, []float64{1, 0.5}, a.Notes, "what was given stays")
}

func TestResultDividesByTheCalibration(t *testing.T) {
	p := rhythm.MustParse("x xx . x", "4/4", 120)
	m := p.TimeMap(5)
	h := Heard{
		Answer: Answer{Phrase: p, Expected: p.TimeMap(5.1)}, Map: m, Spread: 0.03,
		Notes: []float64{3, 3, 0, 3}, Extras: []Extra{{Step: 4, Energy: 0.9}, {Step: 7, Energy: 0.1}},
	}
	r := h.Result(Calibration{Full: [4]float64{3}, Sure: true})
	require.Len(t, r.Notes, 4)
	assert.Greater(t, r.Notes[0].Participation, 0.85)
	assert.Less(t, r.Notes[2].Participation, 0.35)
	assert.InDelta(t, 5, r.Start, 1e-9)
	assert.InDelta(t, 7, r.End, 1e-9)
	assert.InDelta(t, -0.1, r.Offset, 1e-9)
	assert.InDelta(t, 120, r.Tempo, 1e-9)
	assert.Greater(t, r.Pulse, r.Pattern)
	require.Len(t, r.Extras, 1, "what few did is not mentioned")
	assert.InDelta(t, 0.3, r.Extras[0].Participation, 0.12, "about what its energy says")
	silent := h.Result(Calibration{})
	for _, n := range silent.Notes {
		assert.Zero(t, n.Participation)
		assert.True(t, math.IsNaN(n.Played))
	}
	assert.Zero(t, silent.Score)
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
