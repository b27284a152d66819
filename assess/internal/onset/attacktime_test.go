package onset_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
)

func TestTheAttackWeightedTimeDoesNotMoveWithTheRoom(t *testing.T) {
	for _, room := range []struct {
		name         string
		ring, direct float64
	}{{"outdoors", 0, 1}, {"lively room", 0.09, 0.4}, {"hall", 0.25, 0.3}} {
		t.Run(room.name, func(t *testing.T) {
			h := newHall(24, room.ring, room.direct)
			var means []float64
			for at := 0.5; at < 23; at += 0.9 {
				mean, _ := h.group(at, 0.03, 0.05, 12)
				means = append(means, mean)
			}
			samples := sound(h.samples)
			a, err := onset.Analyse(context.Background(), &samples)
			require.NoError(t, err)
			bias := 0.0
			for _, mean := range means {
				bias += (a.AttackTime(mean+0.015) - mean) / float64(len(means))
			}
			t.Logf("bias %.1f ms", 1000*bias)
			assert.InDelta(t, 0, bias, 0.006)
		})
	}
}

func TestTheAttackWeightedTimeOfSilenceIsTheTimeAskedFor(t *testing.T) {
	samples := make(sound, 2*onset.SampleRate)
	a, err := onset.Analyse(context.Background(), &samples)
	require.NoError(t, err)
	for _, at := range []float64{-1, 0, 0.01, 1, 1.999, 2, 50} {
		assert.InDelta(t, at, a.AttackTime(at), 0, "at %g s", at)
	}
}
