package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestASharesWordsFollowFromItsNumber(t *testing.T) {
	for share, want := range map[float64]string{
		0: "next to nobody", 0.02: "next to nobody", 0.03: "about 5 %", 0.5: "about 50 %",
		0.72: "about 70 %", 0.929: "about 95 %", 0.93: "nearly all", 0.975: "nearly all", 1: "nearly all",
	} {
		assert.Equal(t, want, AboutShare(share), share)
	}
}

func TestCountAddsAnSButForOne(t *testing.T) {
	assert.Equal(t, "0 rounds", Count(0, "round"))
	assert.Equal(t, "1 round", Count(1, "round"))
	assert.Equal(t, "2 rounds", Count(2, "round"))
}
