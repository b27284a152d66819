package exchange

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestRecordedSoundsAreNoExchange prints what is claimed of recorded sounds without any call and
// response: of the untouched half and of the classes held back, of which nothing was tuned on.
// Found is what was taken for answers before they were weighed; "4 more" are recordings with enough
// answers for a tier.
func TestRecordedSoundsAreNoExchange(t *testing.T) {
	l := findSounds(t)
	examples := reelExamples(t, l, true, 4)
	for _, x := range reelExamples(t, l, false, 4) {
		if slices.Contains(heldBack, x.class) {
			examples = append(examples, x)
		}
	}
	all := table(t, examples)
	assert.Less(t, float64(all.claimed)/all.minutes, 0.1, "answers a minute")
	assert.LessOrEqual(t, all.tiers, 1+all.n/63, "recordings with a tier")
}

// TestMadeUpWarmUpsAreBelieved prints what is kept of made-up warm-ups that nothing was tuned on.
func TestMadeUpWarmUpsAreBelieved(t *testing.T) {
	findSounds(t) // only where figures are asked for: it takes minutes
	var answered, mute []example
	for _, x := range madeUpExamples(t, 88000, 4) {
		switch {
		case !x.exchange:
			mute = append(mute, x)
		case answers(x.digests) > 0:
			answered = append(answered, x)
		}
	}
	all := table(t, answered)
	assert.GreaterOrEqual(t, float64(all.any), 0.985*float64(all.n), "warm-ups believed")
	none := table(t, mute)
	assert.Less(t, float64(none.claimed)/none.minutes, 0.1)
}

// TestKinds prints what recorded sounds are taken for, class by class.
func TestKinds(t *testing.T) {
	l := findSounds(t)
	byClass := map[string]map[Sound]int{}
	for _, untouched := range []bool{false, true} {
		for _, x := range reelExamples(t, l, untouched, 4) {
			if byClass[x.class] == nil {
				byClass[x.class] = map[Sound]int{}
			}
			byClass[x.class][Kind(x.a)]++
		}
	}
	for _, c := range reelClasses {
		t.Log(c.name, byClass[c.name])
	}
	assert.GreaterOrEqual(t, byClass["typing"][Knocking], len(l["typing"])/2)
	assert.Zero(t, byClass["rain"][OnePerson])
}
