package spoken_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// How places are named is common practice, no source.
func TestPlacesAreNamedAsTheyAreCounted(t *testing.T) {
	for _, test := range []struct {
		meter string
		beat  float64
		want  string
	}{
		{"4/4", 1, "beat 1"},
		{"4/4", 2.5, "the “and” of 2"},
		{"4/4", 3.25, "the “e” of 3"},
		{"4/4", 3.75, "the “a” of 3"},
		{"4/4", 2.3333, "the second triplet of 2"},
		{"4/4", 2.6667, "the last triplet of 2"},
		{"4/4", 3.2, "just after beat 3"},
		{"4/4", 3.8, "just before beat 4"},
		{"5/4=3+2", 4.5, "the “and” of 4"},
		{"6/8", 2, "count 4"},
		{"6/8", 1.6667, "count 3"},
		{"6/8", 2.5, "the “and” of count 5"},
		{"6/8", 1.06, "just after count 1"},
		{"12/8", 4.3333, "count 11"},
		{"7/8=2+2+3", 3, "count 1 of group 3"},
		{"7/8=2+2+3", 3.6667, "count 3 of group 3"},
		{"7/8=2+2+3", 1.75, "the “and” of count 2 of group 1"},
	} {
		assert.Equal(t, test.want, spoken.PlaceInBar(rhythm.MustParseMeter(test.meter), test.beat),
			"%s %g", test.meter, test.beat)
	}
}

func TestThePlaceOfAStrokeIsTheNumberItIsCountedBy(t *testing.T) {
	for _, phrase := range [][2]string{
		{"6/8", "xxx xxx"},
		{"12/8", "xxx xxx xxx xxx"},
		{"9/8", "x.x xx. .xx"},
	} {
		p := rhythm.MustParse(phrase[1], phrase[0], 96)
		for _, word := range spoken.Line(p, spoken.Counting) {
			assert.Equal(t, "count "+word.Text, spoken.Place(p, float64(word.Step)))
		}
	}
}

func TestBarsAreNamedWhereThereAreSeveral(t *testing.T) {
	p := rhythm.MustParse("x xx . x | x x . .", "4/4", 96)
	assert.Equal(t, "the “and” of 2 in bar 1", spoken.Place(p, 3))
	assert.Equal(t, "beat 1 in bar 2", spoken.Place(p, 8))
	assert.Equal(t, "on beat 1 in bar 2", spoken.On(p, 8))
	assert.Equal(t, "just after beat 1 in bar 2", spoken.On(p, 8.2))
}

func TestWholeBeatsAreToldFromTheirFirstCount(t *testing.T) {
	for _, test := range [][3]string{
		{"4/4", "x xx . x", "beat 1"},
		{"6/8", "xxx x.x", "the beat on count 1"},
		{"7/8=2+2+3", "xx xx xxx", "group 1"},
	} {
		p := rhythm.MustParse(test[1], test[0], 96)
		assert.Equal(t, test[2], spoken.Beat(p, 0))
	}
	p := rhythm.MustParse("x.x xxx | xxx x..", "6/8", 96)
	assert.Equal(t, "the beat on count 4 in bar 1", spoken.Beat(p, 5))
}
