package assess

import (
	"fmt"
	"math"

	"clapladder.example/assess/internal/synth"
)

// recordedTally is what a class of warm-ups of recorded sound adds up to.
type recordedTally struct {
	n, truth, found, reported, right int
	strokes, heard, near, nearer     int // of answers: that sounded, reported, within 50 and 25 ms of one
	tiers, close, flat               int
	minutes                          float64
	bias, participation              []float64
}

func (t *recordedTally) merge(o *recordedTally) {
	t.n, t.truth, t.found, t.reported = t.n+o.n, t.truth+o.truth, t.found+o.found, t.reported+o.reported
	t.right, t.strokes, t.heard = t.right+o.right, t.strokes+o.strokes, t.heard+o.heard
	t.near, t.nearer, t.tiers, t.close = t.near+o.near, t.nearer+o.nearer, t.tiers+o.tiers, t.close+o.close
	t.flat, t.minutes = t.flat+o.flat, t.minutes+o.minutes
	t.bias, t.participation = append(t.bias, o.bias...), append(t.participation, o.participation...)
}

const recordedHead = "%-19s %3s %5s  %6s %5s  %5s %5s %6s  %5s %5s  %9s  %5s %5s  %4s\n"

func (t *recordedTally) row(name string) string {
	part := func(a, b int) string {
		if b == 0 {
			return "-"
		}
		return fmt.Sprintf("%.2f", float64(a)/float64(b))
	}
	both := t.strokes + t.heard
	return fmt.Sprintf(recordedHead, name, fmt.Sprint(t.n), fmt.Sprint(t.truth), part(t.found, t.truth),
		part(t.found, t.reported), part(2*t.nearer, both), part(2*t.near, both),
		fmt.Sprintf("%.1f", 1000*mean(t.bias)), part(t.right, t.found), fmt.Sprintf("%.3f", mean(t.participation)),
		fmt.Sprintf("%.2f", float64(t.reported-t.found)/max(1e-9, t.minutes)), part(t.tiers, t.n),
		part(t.close, t.tiers), part(t.flat, t.n))
}

// judgeRecorded compares a report with what happened; late is what a codec adds to all times, seconds.
// Strokes of answers count that a quarter of the group or more clapped.
func judgeRecorded(r *Report, truth synth.Truth, late float64, highest int) *recordedTally {
	t := &recordedTally{n: 1, minutes: truth.Duration / 60}
	if r.Recording.Flattened != nil {
		t.flat = 1
	}
	used := make([]bool, len(r.Rounds))
	for _, want := range truth.Rounds {
		if want.Response == nil {
			continue
		}
		t.truth++
		for _, n := range want.Response.Notes {
			if n.Participation >= 0.25 {
				t.strokes++
			}
		}
		first := want.Response.Notes[0].Time + late
		best, apart := -1, 0.35
		for i, got := range r.Rounds {
			if got.Response != nil && !used[i] && math.Abs(got.Response.Start-first) < apart {
				best, apart = i, math.Abs(got.Response.Start-first)
			}
		}
		if best < 0 {
			continue
		}
		used[best] = true
		t.found++
		got := r.Rounds[best]
		right := got.Phrase != nil && *got.Phrase == want.Phrase
		if right {
			t.right++
		}
		for k, n := range want.Response.Notes {
			if right {
				t.participation = append(t.participation, math.Abs(got.Notes[k].Participation-n.Participation))
			}
			if n.Participation >= 0.25 {
				t.stroke(got.Response.Onsets, n.Time+late)
			}
		}
	}
	for _, got := range r.Rounds {
		if got.Response != nil {
			t.reported++
			t.heard += len(got.Response.Onsets)
		}
	}
	if r.Group.Tier != nil {
		t.tiers = 1
		if off := *r.Group.Tier - truth.ComfortTier(r.Group.Comfort, highest); off >= -1 && off <= 1 {
			t.close = 1
		}
	}
	return t
}

// stroke looks for a stroke among those heard.
func (t *recordedTally) stroke(heard []float64, at float64) {
	off := math.Inf(1)
	for _, h := range heard {
		if math.Abs(h-at) < math.Abs(off) {
			off = h - at
		}
	}
	if math.Abs(off) <= 0.05 {
		t.near++
		t.bias = append(t.bias, off)
	}
	if math.Abs(off) <= 0.025 {
		t.nearer++
	}
}
