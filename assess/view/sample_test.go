package view

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/rhythm"
)

var update = flag.Bool("update", false, "rewrite the expected output in testdata")

// expectFile compares text with a file in testdata. With -update the file is written; otherwise a
// difference leaves the text beside it with .got added.
func expectFile(t *testing.T, name, text string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	if string(want) != text {
		require.NoError(t, os.WriteFile(path+".got", []byte(text), 0o644))
		assert.Fail(t, "differs from "+path, "see %s.got", path)
	}
}

// played makes an answered round of a phrase at 96 beats a minute that begins at a time; shares are
// of its strokes.
func played(id, name, notation, meter string, difficulty, start float64, share float64,
	shares ...float64,
) assess.Round {
	p := rhythm.MustParse(notation, meter, 96)
	r := assess.Round{
		Name: name, Attempt: 1, Confidence: 0.95, Notation: p.String(), Meter: meter,
		Difficulty: difficulty, Usable: true,
		Share: &share, Score: new(share), Errors: []assess.Error{}, Extras: []assess.Extra{},
		Call: assess.Played{Start: start, End: start + p.Duration(), Tempo: 96},
		Response: &assess.Response{
			Start: start + p.Duration(), End: start + 2*p.Duration(), Tempo: 97, Spread: 34, Offset: 12,
		},
	}
	if id != "" {
		r.Phrase = &id
	}
	for i, s := range p.Strokes() {
		bar, beat := p.Position(s.Step)
		at := r.Response.Start + p.Seconds(s.Step)
		r.Call.Onsets = append(r.Call.Onsets, start+p.Seconds(s.Step))
		n := assess.Note{Bar: bar, Beat: beat, Expected: at, Participation: shares[i]}
		if shares[i] >= 0.08 {
			n.Played = new(at + 0.012)
		}
		r.Notes = append(r.Notes, n)
	}
	return r
}

// sample is a report with everything a report can hold.
func sample() *assess.Report {
	plain := played("bell", "Ring the bell now", "x x x x", "4/4", 1, 3, 0.95, 0.97, 1, 0.96, 0.98)
	gang := played("gangway", "Down the gangway", "x x xx x", "4/4", 2.1, 10, 0.85, 0.95, 0.9, 0.88,
		0.86, 0.94)
	tide := played("ebb", "Wait for the ebb tide", "x .x . x | x xx x .", "4/4", 3.9, 18, 0.55, 0.9,
		0.45, 0.85, 0.92, 0.8, 0.7, 0.88)
	tide.Extras = []assess.Extra{
		{Bar: 1, Beat: 2, Time: 23.7, Participation: 0.4},
		{Bar: 2, Beat: 3.5, Time: 27.1, Participation: 0.25},
	}
	tide.Errors = []assess.Error{
		{
			Kind: "moved-to-beat", Bar: 1, Beat: 2.5,
			Text: "about 40 % clapped on beat 2 instead of the “and” of 2 in bar 1",
			Hint: "clap the beat between as well, then softer, then leave it out",
		},
		{
			Kind: "sped-up", Text: "answered 4 % faster than the call",
			Hint: "step the pulse while they answer",
		},
	}
	tide.Response.Tempo = 100
	swell := played("", "", "x.x .xx", "6/8", 5.2, 30, 0.2, 0.6, 0.3, 0.04, 0.1)
	swell.Errors = []assess.Error{{Kind: "thin", Text: "few joined in"}}
	silent := assess.Round{
		Phrase: new("fog"), Name: "Fog", Attempt: 1, Confidence: 0.8, Notation: "x . xx x",
		Meter: "4/4", Difficulty: 2.6,
		Call: assess.Played{Start: 40, End: 42.5, Tempo: 96},
	}
	again := played("bell", "Ring the bell now", "x x x x", "4/4", 1, 50, 0.9, 0.9, 0.95, 0.93, 0.9)
	again.Attempt, again.Response.LeaderAlong = 2, true
	doubtful := played("gangway", "Down the gangway", "x x xx x", "4/4", 2.1, 60, 0.7, 0.7, 0.7,
		0.6, 0.6, 0.7)
	doubtful.Confidence, doubtful.Usable, doubtful.Attempt, doubtful.Response.Spread = 0.4, false, 2, 72
	rounds := []assess.Round{plain, gang, tide, swell, silent, again, doubtful}
	for i, known := range [][4]float64{
		{3.9, 1.2, 2.0, 6.0},
		{4.3, 1.0, 2.8, 6.1},
		{4.2, 0.7, 3.1, 5.4},
		{3.7, 0.5, 2.9, 4.6},
		{3.7, 0.5, 2.9, 4.6},
		{3.8, 0.4, 3.1, 4.5},
		{3.8, 0.4, 3.1, 4.5},
	} {
		rounds[i].Level, rounds[i].LevelSD, rounds[i].LevelInterval = &known[0], &known[1],
			&[2]float64{known[2], known[3]}
	}
	return &assess.Report{
		Schema: assess.Schema, Tool: "clapladder test",
		Recording: assess.Recorded{
			Duration: 71.5, SampleRate: 44100, Format: "m4a", Channels: 1,
			Envelope: envelope(rounds, 71.5),
		},
		Rounds: rounds,
		Group: assess.Group{
			Ability: new(3.8), AbilitySD: new(0.4), AbilityInterval: &[2]float64{3.1, 4.5},
			AbilitySpread: new(1.1),
			Mix:           new("some spread"), MixProbabilities: []float64{0.3, 0.62, 0.08},
			Tier: new(3), Comfort: 0.7, TierProbabilities: []float64{0, 0.06, 0.72, 0.2, 0.02, 0},
			UsableRounds: 5, Pulse: new(0.91), Pattern: new(0.55),
		},
		Openers: []assess.Opener{
			{
				Piece: "slipway", Name: "Slipway March", Role: plan.Safe, Tier: 2, Chance: 0.97,
				Why: "a sure start, one tier easier than the main choice", Notation: "s x s x",
				Meter: "4/4",
			},
			{
				Piece: "ropewalk", Name: "Along the Ropewalk", Role: plan.Main, Tier: 3,
				Chance: 0.82, Why: "the hardest of your pieces that 7 in 10 people should manage, 82 % sure", Notation: "x x xx x", Meter: "4/4",
			},
			{
				Piece: "ferry", Name: "Tomorrow’s Ferry", Role: plan.Stretch, Tier: 4, Chance: 0.41,
				Why: "a step up, once the main choice sits", Notation: "x .x . x", Meter: "4/4",
			},
			{Piece: "ropewalk", Name: "Along the Ropewalk", Part: "wheel", Role: plan.Fallback, For: plan.Main, Tier: 1, Chance: 0.995, Why: `its part "wheel"`, Notation: "x . x .", Meter: "4/4"},
		},
		NextCall: &assess.NextCall{
			Phrase: "coil", Name: "Coiling rope", Notation: "xx x xx x",
			Meter: "4/4", Difficulty: 3.4, Why: "it would tell you the most now",
		},
		Warnings: []assess.Warning{
			{Code: "leader-along", Text: "The leader seems to clap along with the answer in 1 round; participation there is less certain."},
		},
	}
}

// envelope is sound where something was clapped, which dies away in half a second.
func envelope(rounds []assess.Round, duration float64) *assess.Envelope {
	e := &assess.Envelope{Step: 0.1}
	for at := 0.0; at < duration; at += e.Step {
		power := -44
		for _, r := range rounds {
			onsets := r.Call.Onsets
			if r.Response != nil {
				onsets = slices.Clone(onsets)
				for _, n := range r.Notes {
					onsets = append(onsets, n.Expected)
				}
			}
			for _, onset := range onsets {
				if since := at + e.Step - onset; since > 0 && since < 0.5 {
					power = max(power, -int(90*since)+4)
				}
			}
		}
		e.Power = append(e.Power, min(power, 0))
	}
	return e
}

// text writes a report for a style.
func text(t *testing.T, r *assess.Report, s Style) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, Text(&b, r, s))
	return b.String()
}

// brokenWriter is an output that is full.
type brokenWriter struct{}

var errFull = errors.New("full")

func (brokenWriter) Write([]byte) (int, error) { return 0, errFull }

func atof(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}
