package transcribe

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/rhythm"
)

func TestACallIsCloseToAPhraseThatDiffersByOneStroke(t *testing.T) {
	bank := []rhythm.Phrase{
		rhythm.MustParse("x x xx x", "4/4", 96),
		rhythm.MustParse("x x xx x | x . x .", "4/4", 96),
	}
	beat := float64(bank[0].Steps()) / 4
	for _, test := range []struct {
		law, notation string
		want          Close
		ok            bool
	}{
		{"one more at the and of 2", "x xx xx x", Close{0, OneMore, 1.5 * beat}, true},
		{"one more at the end", "x x xx xx", Close{0, OneMore, 3.5 * beat}, true},
		{"one less on 3", "x x .x x", Close{0, OneLess, 2 * beat}, true},
		{"one less at the beginning", ". x xx x", Close{0, OneLess, 0}, true},
		{"the same rhythm is not close, it is the phrase", "x x xx x", Close{}, false},
		{"two strokes off", "xx xx xx x", Close{}, false},
		{"another rhythm of as many strokes", "x xx x x", Close{}, false},
	} {
		t.Run(test.law, func(t *testing.T) {
			got, ok := Closest(rhythm.MustParse(test.notation, "4/4", 110), bank[:1])
			assert.Equal(t, test.ok, ok)
			assert.Equal(t, test.want, got)
		})
	}
	twice, ok := Closest(rhythm.MustParse("x . | x . | x x | x x", "2/4", 192), bank)
	assert.True(t, ok, "notated in beats half as long")
	assert.Equal(t, 0, twice.Phrase)
}
