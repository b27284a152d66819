package measure

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

var meters = []string{
	"4/4", "3/4", "2/4", "2/2", "6/4", "6/8", "9/8", "12/8", "3/8", "1/4", "5/4", "5/4=3+2",
	"4/4=3+1", "6/8=2+2+2",
	"7/8=2+2+3", "5/8=2+3", "8/8=3+3+2", "10/8=3+3+2+2", "7/16=2+2+3",
}

// randomPhrase writes a phrase in box notation and parses it. usual keeps to the common divisions
// of a beat.
func randomPhrase(r *rand.Rand, usual bool) rhythm.Phrase {
	for {
		meter := rhythm.MustParseMeter(meters[r.IntN(len(meters))])
		bars := 1 + r.IntN(3)
		var b strings.Builder
		for bar := range bars {
			if bar > 0 {
				b.WriteString(" | ")
			}
			for beat := range meter.Beats() {
				boxes := 1 + r.IntN(rhythm.MaxBoxesPerBeat)
				if usual {
					boxes = meter.BeatUnits(beat) << r.IntN(3)
				}
				if beat > 0 {
					b.WriteByte(' ')
				}
				if meter.Beats() == 1 || r.IntN(4) == 0 {
					boxes = 1
				}
				for range boxes {
					b.WriteByte("xX..s."[r.IntN(6)])
				}
			}
		}
		phrase, err := rhythm.Parse(b.String(), meter, 40+200*r.Float64())
		if err == nil {
			return phrase
		}
	}
}

// ranges are the documented ranges; the upper end may depend on the pattern.
var ranges = map[string]func(p *Pattern) (low, high float64){
	"lhl":              levels,
	"lhl-pairs":        upToOnsets(1),
	"lhl-terminal":     func(p *Pattern) (float64, float64) { return -1, math.Inf(1) },
	"smith-honing":     levels,
	"fitch-rosenfeld":  levels,
	"witek":            levels,
	"sioros-guedes":    upToOnsets(1),
	"metrical":         levels,
	"off-beatness":     upToOnsets(1),
	"keith":            upToOnsets(1),
	"keith-weighted":   upToOnsets(3),
	"note-to-beat":     levels,
	"note-to-beat-sum": levels,
	"pressing":         func(p *Pattern) (float64, float64) { return 0, 10 * float64(len(p.beats)-1) },
	"pressing-full":    func(p *Pattern) (float64, float64) { return 0, 5 * 8 },
	"c-score":          levels,
	"c-score-beat":     func(p *Pattern) (float64, float64) { return 0, 4 * float64(len(p.beats)-1) },
	"npvi":             func(*Pattern) (float64, float64) { return 0, 199.999 },
	"interval-entropy": func(p *Pattern) (float64, float64) {
		return 0,
			math.Log2(float64(len(p.onsets))) + 1e-9
	},
	"distinct-intervals":    func(p *Pattern) (float64, float64) { return 1, float64(len(p.onsets)) },
	"distance-entropy":      levels,
	"distinct-distances":    func(*Pattern) (float64, float64) { return 1, math.Inf(1) },
	"lempel-ziv":            func(p *Pattern) (float64, float64) { return 1, float64(p.points()) },
	"barlow":                func(*Pattern) (float64, float64) { return 0, 1 },
	"swap":                  levels,
	"swap-mean":             levels,
	"profile-musicians":     func(*Pattern) (float64, float64) { return 0, 4 },
	"profile-non-musicians": func(*Pattern) (float64, float64) { return 0, 3 },
	"density":               func(*Pattern) (float64, float64) { return 1e-9, 16 },
	"density-beat":          func(*Pattern) (float64, float64) { return 1e-9, 16 },
	"density-second":        func(*Pattern) (float64, float64) { return 1e-9, 1000 },
}

func levels(*Pattern) (low, high float64) { return 0, math.Inf(1) }

func upToOnsets(times float64) func(*Pattern) (float64, float64) {
	return func(p *Pattern) (float64, float64) { return 0, times * float64(len(p.onsets)) }
}

func TestEveryValueLiesInItsDocumentedRange(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	p := &Pattern{}
	defined := map[string]int{}
	for i := range 3000 {
		phrase := randomPhrase(r, i%2 == 0)
		p.set(phrase)
		for _, p.Cyclic = range []bool{false, true} {
			for _, m := range All() {
				v, err := m.On(p)
				if err != nil {
					undefined, ok := errors.AsType[*UndefinedError](err)
					require.True(t, ok)
					require.Equal(t, phrase.Meter(), undefined.Meter)
					require.Zero(t, v)
					continue
				}
				defined[m.ID]++
				low, high := ranges[m.ID](p)
				require.False(t, math.IsNaN(v) || math.Signbit(v) && v == 0, "%s of %s", m.ID, phrase)
				require.True(t, v >= low && v <= high, "%s of %s in %s is %g, outside %g to %g",
					m.ID, phrase, phrase.Meter(), v, low, high)
			}
		}
	}
	for _, m := range All() {
		assert.Greater(t, defined[m.ID], 50, "%s was hardly ever defined", m.ID)
	}
}

func TestEqualPhrasesHaveEqualValues(t *testing.T) {
	for _, pair := range [][3]string{
		{"4/4", "x . xx .x", "x...x...x.x...x."[:4] + "...." + "x.x." + "..x."},
		{"4/4", "x x xx x", "x. x... xx x..."},
		{"6/8", "x.x ..x", "x...x. ....x."},
		{"7/8=2+2+3", "x xx x.x", "x. x.x. x...x."},
		{"3/4", "xxx x .", "xxx x.. ..."},
	} {
		a, b := rhythm.MustParse(pair[1], pair[0], 96), rhythm.MustParse(pair[2], pair[0], 96)
		require.True(t, a.Equal(b), "%s = %s", a, b)
		for _, m := range All() {
			va, ea := m.Of(a)
			vb, eb := m.Of(b)
			assert.Equal(t, va, vb, m.ID)
			assert.Equal(t, ea, eb, m.ID)
		}
	}
}

func TestAReusedPatternGivesWhatANewOneGives(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	reused := &Pattern{}
	for i := range 500 {
		phrase := randomPhrase(r, i%2 == 0)
		reused.set(phrase)
		for _, m := range All() {
			a, ea := m.On(reused)
			b, eb := m.On(fromPhrase(phrase))
			require.Equal(t, b, a, "%s of %s", m.ID, phrase)
			require.Equal(t, eb, ea)
		}
	}
}

// Laws of the weights: finer division of silent beats must not change what only the metre's strong
// places decide.
func TestSyncopationDoesNotDependOnHowFinelyBeatsAreDivided(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 500 {
		coarse, fine := make([]byte, 0, 16), make([]byte, 0, 32)
		for range 16 {
			box := ".x"[r.IntN(2)]
			coarse, fine = append(coarse, box), append(fine, box, '.')
		}
		if !strings.Contains(string(coarse), "x") {
			continue
		}
		a, b := sixteen(t, string(coarse)), cycle(t, string(fine), 8, 2, 2, 2, 2, 2)
		for _, a.Cyclic = range []bool{false, true} {
			b.Cyclic = a.Cyclic
			for _, id := range []string{
				"lhl", "lhl-pairs", "lhl-terminal", "smith-honing",
				"fitch-rosenfeld", "witek", "metrical", "note-to-beat", "npvi", "interval-entropy",
				"distance-entropy",
			} {
				m, ok := Find(id)
				require.True(t, ok)
				va, ea := m.On(a)
				vb, eb := m.On(b)
				require.Equal(t, ea, eb)
				require.InDelta(t, va, vb, 1e-12, "%s of %s", id, coarse)
			}
		}
	}
}

func rotate(boxes string, by int) string { return boxes[by:] + boxes[:by] }

func TestCyclesHaveNoFirstPulseWhereTheMetreIsNotAsked(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 300 {
		boxes := randomBoxes(r, 16)
		a, b := sixteen(t, boxes), sixteen(t, rotate(boxes, 1+r.IntN(15)))
		for _, id := range []string{
			"interval-entropy", "distinct-intervals", "distance-entropy",
			"distinct-distances", "density", "c-score",
		} {
			m, ok := Find(id)
			require.True(t, ok)
			va, ea := m.On(a)
			vb, eb := m.On(b)
			require.Equal(t, ea, eb)
			require.InDelta(t, va, vb, 1e-12, "%s of %s", id, boxes)
		}
	}
}

func TestCyclesOfTwoBarsCanBeginWithEither(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 300 {
		one, two := randomBoxes(r, 16), randomBoxes(r, 16)
		a := fromPhrase(rhythm.MustParse(one+"|"+two, "4/4", 96))
		b := fromPhrase(rhythm.MustParse(two+"|"+one, "4/4", 96))
		a.Cyclic, b.Cyclic = true, true
		for _, m := range All() {
			switch m.ID {
			case "npvi", "lempel-ziv", "swap", "swap-mean":
				continue // read from the first onset or pulse on; moves that don't cross the end
			}
			va, ea := m.On(a)
			vb, eb := m.On(b)
			require.Equal(t, ea, eb)
			require.InDelta(t, va, vb, 1e-9, "%s of %s | %s", m.ID, one, two)
		}
	}
}

func randomBoxes(r *rand.Rand, n int) string {
	for {
		b := make([]byte, n)
		for i := range b {
			b[i] = ".x"[r.IntN(2)]
		}
		if strings.Count(string(b), "x") > 2 {
			return string(b)
		}
	}
}

func TestAPlainBeatIsTheSimplestThereIs(t *testing.T) {
	for _, meter := range meters {
		m := rhythm.MustParseMeter(meter)
		phrase := rhythm.MustParse(strings.TrimSpace(strings.Repeat("x ", m.Beats())), meter, 96)
		for _, id := range []string{
			"lhl", "smith-honing", "fitch-rosenfeld", "witek",
			"sioros-guedes", "metrical", "off-beatness", "keith", "note-to-beat", "pressing",
			"c-score-beat", "swap", "barlow",
		} {
			entry, ok := Find(id)
			require.True(t, ok)
			v, err := entry.Of(phrase)
			if err != nil {
				continue
			}
			if id == "barlow" {
				assert.Less(t, v, 0.7, "%s in %s", id, meter)
				continue
			}
			assert.Zero(t, v, "%s in %s", id, meter)
		}
	}
}

func TestMovingOffTheBeatIsNeverSimpler(t *testing.T) {
	// Eighths and sixteenths late: the same four notes, ever further from the metre. Common
	// practice, no source.
	for _, id := range []string{
		"lhl", "smith-honing", "fitch-rosenfeld", "witek", "metrical",
		"note-to-beat", "c-score-beat", "swap", "sioros-guedes",
	} {
		entry, ok := Find(id)
		require.True(t, ok)
		plain, err := entry.Of(rhythm.MustParse("x x x x", "4/4", 96))
		require.NoError(t, err)
		for _, late := range []string{".x .x .x .x", ".x.. .x.. .x.. .x..", "...x ...x ...x ...x"} {
			v, err := entry.Of(rhythm.MustParse(late, "4/4", 96))
			require.NoError(t, err)
			assert.Greater(t, v, plain, "%s of %s", id, late)
		}
	}
}
