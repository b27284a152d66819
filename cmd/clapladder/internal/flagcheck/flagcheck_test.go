package flagcheck

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestARangeHoldsItsEndsAndNothingBeyond(t *testing.T) {
	for _, test := range []struct {
		law   string
		check func(float64) error
		good  []float64
		bad   map[float64]string
	}{
		{"tempo", Tempo, []float64{0, 20, 96, 400}, map[float64]string{
			19.9:  "--tempo is 19.9; write a number from 20 to 400",
			400.1: "--tempo is 400.1; write a number from 20 to 400",
			-96:   "--tempo is -96; write a number from 20 to 400",
		}},
		{"comfort", Comfort, []float64{0.5, 0.7, 0.95}, map[float64]string{
			0.49: "--comfort is 0.49; write a share from 0.5 to 0.95",
			0.96: "--comfort is 0.96; write a share from 0.5 to 0.95",
		}},
	} {
		t.Run(test.law, func(t *testing.T) {
			for _, x := range test.good {
				assert.NoError(t, test.check(x), x)
			}
			for x, want := range test.bad {
				assert.EqualError(t, test.check(x), want)
			}
			assert.Error(t, test.check(math.NaN()))
		})
	}
}

func TestTitleAndShowingNeedAPageInAFile(t *testing.T) {
	for _, test := range []struct {
		html, title string
		open, good  bool
	}{
		{"", "", false, true},
		{"tide.html", "Tide", true, true},
		{"-", "Tide", false, true},
		{"-", "", true, false},
		{"", "Tide", false, false},
		{"", "", true, false},
	} {
		assert.Equal(t, test.good, Page(test.html, test.title, test.open) == nil, test)
	}
}

func TestOneThingGoesToStandardOutput(t *testing.T) {
	assert.NoError(t, OneOutput(true, "a.svg", "a.html"))
	assert.NoError(t, OneOutput(false, "-", ""))
	assert.Error(t, OneOutput(true, "-", ""))
	assert.Error(t, OneOutput(false, "-", "-"))
	assert.Equal(t, 2, Count(true, false, true))
}
