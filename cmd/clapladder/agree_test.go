package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/demo"
	"clapladder.example/assess/view"
	"clapladder.example/patterns/bank"
)

// twentyReports are the arguments of commands that report: warm-ups by ear of groups from weak to
// strong, and the demo's recording.
func twentyReports(t *testing.T) map[string][]string {
	entries := bank.Starter().Entries
	words := []string{"got", "partly", "lost"}
	out := map[string][]string{}
	for seed := range uint64(19) {
		rng := rand.New(rand.NewPCG(seed, 8))
		args := []string{"tally"}
		for i := range 4 + rng.IntN(7) {
			word := words[min(rng.IntN(i/2+1)*int(seed+3)/12, 2)]
			args = append(args, entries[(i*9+rng.IntN(9))%len(entries)].ID+"="+word)
		}
		out[fmt.Sprintf("by ear %d", seed)] = args
	}
	recording, err := demo.WarmUp()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "warm-up.wav")
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, recording.WriteWAV(f))
	require.NoError(t, f.Close())
	out["recording"] = []string{"score", path}
	return out
}

// Text, JSON, page, pick, history and trend show one estimate: no number may contradict another.
func TestEveryOutputShowsTheSameNumbers(t *testing.T) {
	given := 0
	for name, args := range twentyReports(t) {
		if given++; underRace && given > 2 {
			break // they differ in what is said, not in how
		}
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			log, page, saved := filepath.Join(dir, "log.jsonl"), filepath.Join(dir, "page.html"),
				filepath.Join(dir, "report.json")
			got := execute(t, "", append(args, "--json", "--save", "the crew", "--date",
				"2025-03-01", "--history", log)...)
			require.Zero(t, got.status, got.stderr)
			var r assess.Report
			require.NoError(t, json.Unmarshal([]byte(got.stdout), &r))
			require.NoError(t, os.WriteFile(saved, []byte(got.stdout), 0o644))

			again, err := r.Estimate()
			require.NoError(t, err)
			if r.Group.Tier == nil {
				require.False(t, again.Stated)
				return
			}
			assert.Equal(t, *r.Group.Tier, again.Tier, "the estimate can be made again from the report")
			for i, chance := range again.TierChances {
				assert.InDelta(t, r.Group.TierProbabilities[i], chance, 0.00051)
			}
			last := *r.Group.Ability
			for _, x := range r.Rounds {
				if x.Level != nil {
					last = *x.Level
				}
			}
			assert.Equal(t, *r.Group.Ability, last, "the level after the last round is the group's")

			picked := execute(t, "", "pick", saved, "--json")
			require.Zero(t, picked.status, picked.stderr)
			var p struct{ Openers []assess.Opener }
			require.NoError(t, json.Unmarshal([]byte(picked.stdout), &p))
			require.Len(t, p.Openers, len(r.Openers))
			for i, o := range r.Openers {
				assert.Equal(t, o.Piece, p.Openers[i].Piece)
				assert.Equal(t, o.Chance, p.Openers[i].Chance, o.Piece)
				assert.Equal(t, o.Why, p.Openers[i].Why, o.Piece)
			}

			text := execute(t, "", append(args, "--html", page)...)
			require.Zero(t, text.status, text.stderr)
			data, err := os.ReadFile(page)
			require.NoError(t, err)
			html := strings.ReplaceAll(string(data), "\u00a0", " ")
			for _, o := range r.Openers {
				assert.True(t, strings.Contains(html, view.Chance(o.Chance)),
					"the page says %s of %s", view.Chance(o.Chance), o.Piece)
				for _, said := range percentages.FindAllString(o.Why, -1) {
					assert.Equal(t, view.Chance(o.Chance), said, "%s: %s", o.Piece, o.Why)
				}
			}
			shown := text.stdout
			if shown == "" {
				shown = execute(t, "", args...).stdout
			}
			for _, o := range r.Openers {
				assert.Contains(t, shown, view.Chance(o.Chance), o.Piece)
			}
			level := fmt.Sprintf("%.1f", *r.Group.Ability)
			assert.Contains(t, strings.Join(strings.Fields(shown), " "), "would manage difficulty "+level)
			assert.True(t, strings.Contains(html, "would manage difficulty "+level),
				"the page says level %s", level)

			history := execute(t, "", "history", "trend", "the crew", "--json", "--history", log)
			require.Zero(t, history.status, history.stderr)
			var trend struct {
				Points []struct{ Level float64 }
			}
			require.NoError(t, json.Unmarshal([]byte(history.stdout), &trend))
			require.Len(t, trend.Points, 1)
			assert.InDelta(t, *r.Group.Ability, trend.Points[0].Level, 0.005,
				"the trend shows what the report said")
			assert.Contains(t, strings.ReplaceAll(execute(t, "", "history", "trend", "the crew",
				"--history", log).stdout, "\u2212", "-"), level)
		})
	}
}

var percentages = regexp.MustCompile(`(over |under )?\d+ %`)
