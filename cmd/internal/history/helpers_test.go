package history

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// record is a plausible record of a group, n days after the first of March 2026.
func record(group string, n int) Record {
	return Record{
		Group: group, Date: time.Date(2026, 3, 1+n, 12, 30, 0, 0, time.UTC),
		Tool: "clapladder 0.1.0", Source: "wav", People: 24,
		Rounds: []Round{
			{
				Phrase: new("row"), Notation: "x x x x", Meter: "4/4", Tempo: 96,
				Share: new(0.97), ShareSD: 0.13, Difficulty: 1, DifficultySD: 0.5, Attempt: 1,
				Confidence: 0.95,
			},
			{
				Phrase: new("keel"), Notation: "x x xx x", Meter: "4/4", Tempo: 97.5,
				Share: new(0.8), Difficulty: 2.1, Attempt: 1, Confidence: 0.9,
			},
			{Notation: "x.x xxx", Meter: "6/8", Heard: "partly", Difficulty: 4.2, Attempt: 1, Confidence: 1},
		},
		Estimate: &Estimate{
			Ability: 4.1, AbilitySD: 0.5, Interval: &[2]float64{3.3, 4.9},
			AbilitySpread: 1.1, Mix: "some spread", Tier: new(3), Comfort: 0.7,
		},
	}
}

// newLog is a log in a fresh folder that does not exist yet.
func newLog(t testing.TB) *Log {
	return Open(filepath.Join(t.TempDir(), "data", "history.jsonl"))
}

func appendAll(t testing.TB, l *Log, records ...Record) {
	for _, r := range records {
		require.NoError(t, l.Append(t.Context(), r))
	}
}

func read(t testing.TB, l *Log) *Contents {
	c, err := l.Read(t.Context())
	require.NoError(t, err)
	return c
}

// labels of the records, in order.
func labels(c *Contents) []string {
	out := []string{}
	for _, r := range c.Records {
		out = append(out, r.Group)
	}
	return out
}
