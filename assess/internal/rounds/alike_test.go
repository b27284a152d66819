package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestOfPhrasesThatSoundAlikeThePlainOneIsMeant(t *testing.T) {
	claps := Template{"claps", rhythm.MustParse("x x x x", "4/4", 96)}
	stamps := Template{"stamps", rhythm.MustParse("x x s s", "4/4", 96)}
	snaps := Template{"snaps", rhythm.MustParse("x n x n", "4/4", 96)}
	times := played(claps.Phrase, 1)
	for _, bank := range [][]Template{{claps, stamps, snaps}, {snaps, stamps, claps}} {
		for _, test := range []struct {
			law, want string
			sound     func(p *pass)
		}{
			{"where all strokes sound alike", "claps", func(*pass) {}},
			{"not where two are low as stamps are", "stamps", func(p *pass) {
				p.attacks[2].Low, p.attacks[3].Low = true, true
			}},
			{"nor where every second is brighter as a snap is", "snaps", func(p *pass) {
				p.attacks[1].Colour, p.attacks[3].Colour = 0.4, 0.4
			}},
		} {
			t.Run(test.law, func(t *testing.T) {
				p := strokesOf(times, bank...)
				test.sound(p)
				found := newTestMatcher(p).from(0)
				require.NotEmpty(t, found)
				assert.Equal(t, test.want, bank[found[0].template].ID)
			})
		}
	}
}
