package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// The values of this file are worked by hand from the definitions, where no publication gives a
// table.

func TestSiorosGuedesByHand(t *testing.T) {
	// [2,2] has levels 0 2 1 2. The onset at pulse 1 (h = 2) sees, at the only level from 2 down,
	// pulse 0 (0.5 + 0.5*2/4) and pulse 2 (0.5 + 0.5*1/4): (0.8*0.75 + 0.625)/1.8, times 1 - 1/4.
	alone := cycle(t, ".x..", 1, 2, 2)
	assert.InDelta(t, 0.75*(0.8*0.75+0.625)/1.8, siorosGuedes(alone), 1e-12)
	// With pulse 0 as loud the difference before is nothing.
	after := cycle(t, "xx..", 1, 2, 2)
	assert.InDelta(t, 0.75*0.625/1.8, siorosGuedes(after), 1e-12)
	// With pulse 0 softer by a third, a third of it comes back, and all is heard in proportion.
	accent := cycle(t, "xX..", 1, 2, 2)
	assert.InDelta(t, 0.75*(0.8*0.75/3+0.625)/1.8, siorosGuedes(accent), 1e-12)
	// A soft note between loud ones does not syncopate.
	assert.Zero(t, siorosGuedes(cycle(t, "XxX.", 1, 2, 2)))
	// Half way: at level 1 the onset at pulse 2 sees pulse 0 on both sides; at level 2 its
	// neighbours 1 and 3.
	half := cycle(t, "..x.", 1, 2, 2)
	assert.InDelta(t, 0.5*min(0.625, 0.625), siorosGuedes(half), 1e-12)
	half.Cyclic = false
	assert.InDelta(t, 0.5*0.625, siorosGuedes(half), 1e-12, "with an end only what comes before counts")
}

func TestTerminalNodesByHand(t *testing.T) {
	// Terminal nodes of son: 0 note, 2 rest, 3 note, 4 rest (+2 over 3), 6 note, 8 rest (+2 over
	// 6), 10 note, 12 note.
	assert.Equal(t, 4.0, longuetHigginsLeeTerminal(sixteen(t, "x..x..x...x.x...")))
	// After pulse 3 two terminal rests, 4 (+2) and 8 (+3), both count; the strongest alone counts
	// 3.
	gap := sixteen(t, "x..x............")
	assert.Equal(t, 5.0, longuetHigginsLeeTerminal(gap))
	assert.Equal(t, 3.0, longuetHigginsLee(gap))
	// Every rest that is stronger than pulse 3 (-4): 4 and 12 by 2, 6, 10 and 14 by 1, 8 by 3.
	assert.Equal(t, 10.0, fitchRosenfeld(gap))
	// No pair at all.
	assert.Equal(t, -1.0, longuetHigginsLeeTerminal(sixteen(t, "x...x...x...x...")))
	// A rest on the first pulse belongs to the last note of the turn before.
	late := sixteen(t, "........x......x")
	assert.Equal(t, 4.0, longuetHigginsLeeTerminal(late))
	late.Cyclic = false
	assert.Equal(t, -1.0, longuetHigginsLeeTerminal(late))
}

func TestAPhraseWithAnEndHasNoNextDownbeat(t *testing.T) {
	// The last eighth anticipates a downbeat that stays silent only where the pattern goes on.
	p := fromPhrase(rhythm.MustParse(". x x .x", "4/4", 96))
	assert.Equal(t, 0.0, longuetHigginsLee(p))
	p.Cyclic = true
	assert.Equal(t, 3.0, longuetHigginsLee(p))
	// A silent bar of the phrase itself is heard.
	assert.Equal(t, 3.0, longuetHigginsLee(fromPhrase(rhythm.MustParse(". x x .x | . . . .", "4/4", 96))))
}

func TestWitekByHand(t *testing.T) {
	// Half bar and beats alike: a note on beat 2 before a silent beat 3 is a pair of strength 0,
	// not 1.
	p := sixteen(t, "x...x.......x...")
	assert.Equal(t, 1.0, longuetHigginsLee(p))
	assert.Equal(t, 0.0, witek(p))
	// Off-beat eighth before a silent beat 3: -2 against -1; on the metre's own weights -3 against
	// -1.
	p = sixteen(t, "x.....x.....x...")
	assert.Equal(t, 2.0, longuetHigginsLee(p))
	assert.Equal(t, 1.0, witek(p))
}

func TestSwapByHand(t *testing.T) {
	// Son: 0, 3, 6, 10, 12. To 0 and 8: 0+3+2+2+4. To the beats: 0+1+2+2+0. From the eight even
	// pulses onto son, each met: 0>0, 2>3, 4>3, 6>6, 8>6 or 10, 10>10, 12>12, 14>12:
	// 0+1+1+0+2+0+0+2.
	son := sixteen(t, "x..x..x...x.x...")
	assert.Equal(t, 5.0, value(t, swapToBeats, son))
	assert.InDelta(t, (11.0+5+6)/3, value(t, swapMean, son), 1e-12)
	// Fewer notes than beats: the beats move, 4 pulses each.
	assert.Equal(t, 4.0+8+12, value(t, swapToBeats, sixteen(t, "x...............")))
	// Notes at 0, 1.75, 2 and 3.333 beats: three quarters and a third of a beat to go, in fourths
	// of a beat.
	mixed := fromPhrase(rhythm.MustParse("x ...x x .x.", "4/4", 96))
	require.True(t, mixed.mixed)
	assert.InDelta(t, 3+4.0/3, value(t, swapToBeats, mixed), 1e-12)
}

func TestHistogramByHand(t *testing.T) {
	// Son: 0, 3, 6, 10, 12 on 16: distances 2; 3, 3; 4, 4; 6, 6, 6; 7, 7.
	got, err := distanceHistogram(nil, sixteen(t, "x..x..x...x.x..."))
	require.NoError(t, err)
	assert.Equal(t, []int{0, 0, 1, 2, 2, 0, 3, 2, 0}, got)
	ended, err := ParsePattern("x.x....x", 4, 2, 2, 2)
	require.NoError(t, err)
	got, err = distanceHistogram(nil, ended)
	require.NoError(t, err)
	assert.Equal(t, []int{0, 0, 1, 0, 0, 1, 0, 1}, got)
}

func TestNoteToBeatByHand(t *testing.T) {
	// An off-beat eighth lies half a beat from both beats: 1/T = 2, twice that if it sounds across
	// the next beat.
	of := func(boxes, meter string) float64 {
		return value(t, noteToBeat, fromPhrase(rhythm.MustParse(boxes, meter, 96)))
	}
	assert.Equal(t, 2.0/5, of("x xx x x", "4/4"))
	assert.Equal(t, (4.0+2)/4, of("x .x .x x", "4/4"),
		"the first sounds across beat 3, the second ends on beat 4")
	// The last stroke lasts to the end of the phrase and the beats go on: it ends where the next
	// bar begins.
	assert.Equal(t, 2.0/4, of("x x x .x", "4/4"))
	// A triplet's second note lies a third from its beat.
	assert.InDelta(t, 3.0/5, of("x xx. x x", "4/4"), 1e-12)
	// Unequal beats: the last eighth of the three is a third of its beat away.
	assert.InDelta(t, 3.0/4, of("x x x.x", "7/8=2+2+3"), 1e-12)
}

func TestDensityByHand(t *testing.T) {
	phrase := rhythm.MustParse("x xx x x", "4/4", 120)
	for id, want := range map[string]float64{
		"density": 5.0 / 16, "density-beat": 5.0 / 4,
		"density-second": 5.0 / 2,
	} {
		m, ok := Find(id)
		require.True(t, ok)
		got, err := m.Of(phrase)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-12, id)
	}
	m, _ := Find("density")
	got, err := m.Of(rhythm.MustParse("xxx x.xx x x", "4/4", 120))
	require.NoError(t, err)
	assert.InDelta(t, 8.0/16, got, 1e-12, "with mixed divisions the pulse is a fourth of the beat")
}

func TestOwnTreeOfUnequalBeats(t *testing.T) {
	weights := func(boxes, meter string) (w []int) {
		p := fromPhrase(rhythm.MustParse(boxes, meter, 96))
		for i := range p.points() {
			w = append(w, p.weight(i))
		}
		return w
	}
	assert.Equal(t, []int{0, -2, -1, -2, -1, -2, -2}, weights("x x x", "7/8=2+2+3"))
	assert.Equal(t, []int{0, -2, -2, -1, -2}, weights("x.x x", "5/8=3+2"))
	// Quarters of 5/4 with and without a mark; four points a beat, so every fourth is one.
	fourths := func(all []int) (w []int) {
		for i := 0; i < len(all); i += 4 {
			w = append(w, all[i])
		}
		return w
	}
	assert.Equal(t, []int{0, -2, -2, -1, -2}, fourths(weights("x x x x x", "5/4=3+2")))
	assert.Equal(t, []int{0, -1, -1, -1, -1}, fourths(weights("x x x x x", "5/4")))
	assert.Equal(t, []int{0, -2, -2, -1, -2, -2}, fourths(weights("x x x x x x", "6/4")))
	assert.Equal(t, []int{0, -2, -1, -2}, fourths(weights("x x x x", "4/4")))
}

func TestPhrasesOfSeveralBars(t *testing.T) {
	of := func(id, boxes string) float64 {
		m, ok := Find(id)
		require.True(t, ok)
		v, err := m.Of(rhythm.MustParse(boxes, "4/4", 96))
		require.NoError(t, err)
		return v
	}
	// A note on the first of bar 2 that lasts two bars is on its beat: the beat of a note is one
	// bar at most.
	assert.Equal(t, 0.0, of("keith", "x . . . | x . . . | . . . . | x . . ."))
	// Downbeats alone are the most indispensable pulses of each bar.
	assert.Equal(t, 0.0, of("barlow", "x . . . | x . . ."))
	assert.Equal(t, 0.0, of("barlow", "x . . . | x . x ."))
	assert.Equal(t, 0.0, of("profile-musicians", "x . . . | x . . ."))
	// Beat 3 (5.68) in place of the second downbeat (6.14), over two notes.
	assert.InDelta(t, 0.23, of("profile-musicians", "x . . . | . . x ."), 1e-9)
	// The last sixteenth of a beat is off in each of three bars; only a longer row of pulses would
	// be divided by 3.
	assert.Equal(t, 1.0, of("off-beatness", "x..x . . . | x . . . | x . . ."))
}

func TestBarlowOverBarsByHand(t *testing.T) {
	// Sixteenths of 4/4 weigh 15 on the first and 7 on the last. Two bars hold 15 twice: (15 - 15 +
	// 15 - 7) / (2 * 15).
	m, ok := Find("barlow")
	require.True(t, ok)
	v, err := m.Of(rhythm.MustParse("x . . . | . . . ...x", "4/4", 96))
	require.NoError(t, err)
	assert.InDelta(t, 8.0/30, v, 1e-12)
}

func TestPressingUpbeatsEndWithThePhrase(t *testing.T) {
	// A cycle: the bar leads to itself (3), its halves cost 0 and, filled, 1. With an end the bar
	// is a run (2).
	p := cycle(t, "x.xx", 1, 2, 2)
	assert.Equal(t, 3+1.0/2, value(t, pressingFull, p))
	p.Cyclic = false
	assert.Equal(t, 2+1.0/2, value(t, pressingFull, p))
}

func TestPointsOfMixedDivisions(t *testing.T) {
	p := fromPhrase(rhythm.MustParse("xx xxx xxxx x", "4/4", 96))
	assert.Equal(t, []int{0, 4, 7, 11, 15}, p.beats,
		"plain and halved beats keep four points beside a triplet")
	p = fromPhrase(rhythm.MustParse("xx xxx xxx x", "4/4", 96))
	assert.True(t, p.mixed)
	p = fromPhrase(rhythm.MustParse("x xxx xxx x", "4/4", 96))
	assert.False(t, p.mixed, "all beats fit thirds")
	assert.Equal(t, 12, p.points())
	p = fromPhrase(rhythm.MustParse("xx xxx", "6/8", 96))
	assert.Equal(t, []int{0, 2, 5}, p.beats)
}
