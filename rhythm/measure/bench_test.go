package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

var benchPhrases = map[string]rhythm.Phrase{
	"plain":   rhythm.MustParse("x..x..x...x.x...", "4/4", 96),
	"dense":   rhythm.MustParse("x.xx.xxxx.xx.x.x", "4/4", 96),
	"mixed":   rhythm.MustParse("x.xx xxx .x x", "4/4", 96),
	"twobars": rhythm.MustParse("x.xx x .x xx | xxx. .x x .", "4/4", 96),
	"seven":   rhythm.MustParse("x.x. xx x.x", "7/8=2+2+3", 180),
}

func BenchmarkSet(b *testing.B) {
	for name, phrase := range benchPhrases {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			p := &Pattern{}
			for b.Loop() {
				p.set(phrase)
			}
		})
	}
}

func BenchmarkMeasure(b *testing.B) {
	p := fromPhrase(benchPhrases["plain"])
	for _, m := range All() {
		b.Run(m.ID, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, _ = m.On(p)
			}
		})
	}
}

func BenchmarkOf(b *testing.B) {
	m, _ := Find("lhl")
	b.ReportAllocs()
	for b.Loop() {
		_, _ = m.Of(benchPhrases["plain"])
	}
}

// A pattern that is reused, and every measure that has a value on it, must not allocate: difficulty
// is computed for whole banks at a time.
func TestReuseDoesNotAllocate(t *testing.T) {
	for name, phrase := range benchPhrases {
		p := &Pattern{}
		p.set(phrase)
		assert.Zero(t, testing.AllocsPerRun(20, func() { p.set(phrase) }), "Set, %s", name)
		for _, m := range All() {
			if _, err := m.On(p); err != nil {
				continue
			}
			assert.Zero(t, testing.AllocsPerRun(20, func() { _, _ = m.On(p) }), "%s, %s", m.ID, name)
		}
	}
	// The functions themselves don't allocate where they are undefined either.
	p := fromPhrase(benchPhrases["mixed"])
	_, err := keith(p)
	require.ErrorIs(t, err, errMixed)
	assert.Zero(t, testing.AllocsPerRun(20, func() { _, _ = keith(p) }))
}
