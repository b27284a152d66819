package synth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// quietThenLoud is two seconds of a tone 30 dB down, two seconds of it full, and two down again.
func quietThenLoud() []float32 {
	x := tone(1000, 16000, 6*16000)
	for i := range x {
		if i < 2*16000 || i >= 4*16000 {
			x[i] *= float32(decibels(-30))
		}
	}
	return x
}

func TestLevellingLiftsWhatIsSoft(t *testing.T) {
	x := quietThenLoud()
	Levelling{Attack: 0.01, Release: 0.3, LiftDB: 20}.level(x, 16000)
	soft, loud, again := over(x, Span{1.5, 1.9}), over(x, Span{3, 3.9}), over(x, Span{5.5, 5.9})
	assert.InDelta(t, 10, loud-soft, 1, "30 dB less 20")
	assert.InDelta(t, soft, again, 1)
	x = quietThenLoud()
	Levelling{Attack: 0.2, Release: 1, LiftDB: 20}.level(x, 16000)
	assert.Greater(t, over(x, Span{2.05, 2.1}), over(x, Span{3.5, 3.9})+3, "a slow one starts too loud")
	assert.Less(t, over(x, Span{4.1, 4.3})+5, over(x, Span{5.8, 5.99}), "and comes up over seconds")
}

func TestLimiterTakesThePeaks(t *testing.T) {
	x := quietThenLoud()
	before := over(x, Span{1, 1.9})
	limit(x, 16000, 20)
	assert.InDelta(t, 20, over(x, Span{1, 1.9})-over(x, Span{3, 3.9})+30, 1)
	assert.InDelta(t, before, over(x, Span{1, 1.9}), 0.1, "what is soft stays")
	peak := 0.0
	for _, v := range x {
		peak = math.Max(peak, math.Abs(float64(v)))
	}
	assert.InDelta(t, 0.05, peak, 0.001)
}

func TestGateShutsOnWhatIsSoft(t *testing.T) {
	x := quietThenLoud()
	before := over(x, Span{1, 1.9})
	loud := over(x, Span{3, 3.9})
	gate(x, 16000, -20)
	assert.InDelta(t, -30, over(x, Span{1, 1.9})-before, 1)
	assert.InDelta(t, 0, over(x, Span{3, 3.9})-loud, 0.1)
	gate(x, 16000, 0)
	assert.InDelta(t, 0, over(x, Span{3, 3.9})-loud, 0.1, "none")
}

func TestMovedPhoneHearsLess(t *testing.T) {
	s, _ := session(t, "moved", 1, 6)
	s.Phone.MovedDB = 12
	a, r := sources(t, s)
	s.Phone.MovedDB = 0
	b, _ := sources(t, s)
	assert.NotContains(t, b, "hand")
	assert.Contains(t, a, "hand")
	before, after := Span{0, r.Truth.Moved}, Span{r.Truth.Moved + 0.5, r.Truth.Duration}
	assert.InDelta(t, 0, over(a["moved strokes"], before)-over(a["strokes"], before), 0.01)
	assert.InDelta(t, -12, over(a["moved strokes"], after)-over(a["strokes"], after), 0.01)
	assert.InDelta(t, r.Truth.Rounds[len(r.Truth.Rounds)/2].Call.Start, r.Truth.Moved, 0.25)
}
