package history

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"clapladder.example/assess/ability"
)

// Direction says which way a group's level moves.
type Direction string

// The directions.
const (
	Up      Direction = "up"
	Down    Direction = "down"
	Same    Direction = "same"
	Unclear Direction = "unclear"
)

// What makes a statement. Our choice, no source.
const (
	movedChance = 0.90 // chance that the level rose, or fell, to say so
	movedLeast  = 0.25 // and tiers by which it did
	sameWithin  = 0.5  // tiers that count as the same
	sameChance  = 0.80 // chance that the change is within them, to say so
)

// Point is a group's level at one date.
type Point struct {
	Date      time.Time // of the warm-up
	Level     float64   // of the people of the group, tier scale
	SD        float64   // tiers; the luck of who turned up is in it
	Low, High float64   // 90 % interval
	Rounds    int       // used
	Bank      string    // that was in use; empty where not known
	Line      int       // of the file, from 1
}

// Trend is a group's level over time.
type Trend struct {
	Group     string    // label
	Points    []Point   // in order of time
	Rough     int       // of the points, how many are rough, because they are long ago
	Skipped   int       // dates with fewer than ability.MinRounds usable rounds
	Direction Direction // which way the level moves
	// Change of the level from the first to the last date along a straight line,
	// and its standard deviation, tiers. Zero for a single date.
	Change, ChangeSD float64
	// Chance that what Direction says is so: that the level rose or fell, or that it
	// changed by less than half a tier. For Unclear, the chance that it rose.
	Chance float64
	Text   string // one plain sentence
}

// NewTrend estimates the level of a group at each date anew, from the recorded
// shares and the difficulties of the scale, and says which way it moves. Records of
// other groups are ignored. Levels recorded at the time are not used.
//
// The line is fitted by weighted least squares. From four dates on, its error is widened
// where the dates scatter more than their own errors explain, by the Birge ratio
// √(χ²/(n−2)) (Birge 1932). Errors of difficulty count in full at each date although
// they partly cancel where the same phrases are called again: the statement errs on
// the side of caution. A group that hears the same phrases on each date learns
// those, which is part of the trend.
//
// The error is about numbers in the records that can't be used.
func NewTrend(records []Record, group string, scale *Scale) (*Trend, error) {
	t := &Trend{Group: CleanLabel(group)}
	own := Of(records, group)
	slices.SortStableFunc(own, func(a, b Record) int { return a.Date.Compare(b.Date) })
	exact := exactDates
	for _, r := range slices.Backward(own) {
		t.Group = r.Group
		observations := scale.observations(r)
		if len(observations) < ability.MinRounds {
			t.Skipped++
			continue
		}
		point, ok := scale.kept(r, observations)
		switch {
		case ok:
		case exact > 0:
			exact--
			var err error
			if point, _, err = scale.estimate(r, observations); err != nil {
				return nil, fmt.Errorf("the warm-up of %s: %w", r.Date.Format(time.DateOnly), err)
			}
		default:
			point = scale.quick(r, observations)
			t.Rough++
		}
		point.Bank, point.Line = r.Bank, r.Line
		t.Points = append(t.Points, point)
	}
	slices.Reverse(t.Points)
	if n := len(own); n > 0 {
		t.Group = own[n-1].Group
	}
	t.conclude()
	return t, nil
}

// estimate estimates one date. It is false where there are too few rounds.
func (s *Scale) estimate(r Record, observations []ability.Observation) (Point, bool, error) {
	if len(observations) < ability.MinRounds {
		return Point{}, false, nil
	}
	session, err := ability.NewSession(ability.Settings{
		Tiers: 20,
		Prior: s.prior,
	})
	if err != nil {
		return Point{}, false, err
	}
	for _, o := range observations {
		if err := session.Add(o); err != nil {
			return Point{}, false, err
		}
		session.Called(o.Difficulty)
	}
	result := session.Result()
	p := Point{
		Date: r.Date, Rounds: len(observations), Level: result.Level, Low: result.LevelLow,
		High: result.LevelHigh,
	}
	p.SD = math.Hypot(result.LevelSD, luckOf(result.Spread, r.People))
	return p, true, nil
}

// Known is what to believe of a group at a date, from its last warm-up before then that had enough
// rounds; false where there is none. Records of other groups are ignored. See [Trend.Prior].
func Known(records []Record, group string, scale *Scale, at time.Time) (Point, ability.Prior, bool, error) {
	var last *Record
	own := Of(records, group)
	slices.SortStableFunc(own, func(a, b Record) int { return b.Date.Compare(a.Date) })
	for i := range own {
		if !own[i].Date.After(at) && len(scale.observations(own[i])) >= ability.MinRounds {
			last = &own[i]
			break
		}
	}
	if last == nil {
		return Point{}, ability.Prior{}, false, nil
	}
	trend, err := NewTrend([]Record{*last}, group, scale)
	if err != nil || len(trend.Points) == 0 {
		return Point{}, ability.Prior{}, false, err
	}
	prior, ok := trend.Prior(at)
	return trend.Points[0], prior, ok, nil
}

// normal95 is the 95 % quantile of the standard normal distribution.
const normal95 = 1.6448536269514722

// observations turns a record's rounds into what the estimator takes, with present
// difficulties. Rounds whose notation can't be read are left out.
func (s *Scale) observations(r Record) []ability.Observation {
	var out []ability.Observation
	for _, round := range r.Rounds {
		difficulty, sd, err := s.Difficulty(round)
		if err != nil {
			continue
		}
		o := ability.Observation{
			Difficulty: difficulty, DifficultySD: sd, People: r.People,
			Item: round.Meter + " " + round.Notation, Attempt: round.Attempt,
			Doubt: min(1-round.Confidence, 0.45),
		}
		switch {
		case round.Share != nil:
			o.Share, o.ShareSD, o.Reading = *round.Share, round.ShareSD, round.Reading
		default:
			o.Verdict = ability.ParseVerdict(round.Heard)
		}
		out = append(out, o)
	}
	return out
}

// conclude fits the line and states the direction.
func (t *Trend) conclude() {
	t.Direction = Unclear
	n := len(t.Points)
	if n == 0 {
		t.Text = "no date with enough rounds yet; four usable calls make one"
		return
	}
	first, last := t.Points[0], t.Points[n-1]
	if n == 1 || !last.Date.After(first.Date) {
		t.Text = "one date so far; a trend needs two"
		return
	}
	t.Change, t.ChangeSD = fitChange(t.Points)
	rose := normalBelow(t.Change / t.ChangeSD)
	same := normalBelow((sameWithin-t.Change)/t.ChangeSD) - normalBelow((-sameWithin-t.Change)/t.ChangeSD)
	since := "since " + first.Date.Format("2 January 2006")
	switch {
	case rose >= movedChance && t.Change >= movedLeast:
		t.Direction, t.Chance = Up, rose
		t.Text = fmt.Sprintf("up by about %.1f tiers %s, %s sure that it rose", t.Change, since,
			percent(rose))
	case 1-rose >= movedChance && -t.Change >= movedLeast:
		t.Direction, t.Chance = Down, 1-rose
		t.Text = fmt.Sprintf("down by about %.1f tiers %s, %s sure that it fell", -t.Change, since,
			percent(1-rose))
	case same >= sameChance:
		t.Direction, t.Chance = Same, same
		t.Text = fmt.Sprintf("the same %s, %s sure that it moved by less than half a tier", since,
			percent(same))
	default:
		t.Chance = rose
		t.Text = fmt.Sprintf("unclear %s: perhaps %+.1f tiers, give or take %.1f; more dates "+
			"will tell", since, t.Change, normal95*t.ChangeSD)
	}
}

// fitChange returns what the weighted least-squares line rises from the first point
// to the last, and its standard deviation.
func fitChange(points []Point) (change, sd float64) {
	days := make([]float64, len(points))
	weights := make([]float64, len(points))
	var total, meanDay, meanLevel float64
	for i, p := range points {
		days[i] = p.Date.Sub(points[0].Date).Hours() / 24
		weights[i] = 1 / (p.SD * p.SD)
		total += weights[i]
		meanDay += weights[i] * days[i]
		meanLevel += weights[i] * p.Level
	}
	meanDay, meanLevel = meanDay/total, meanLevel/total
	var square, product float64
	for i, p := range points {
		square += weights[i] * (days[i] - meanDay) * (days[i] - meanDay)
		product += weights[i] * (days[i] - meanDay) * (p.Level - meanLevel)
	}
	slope := product / square
	span := days[len(days)-1]
	sd = span / math.Sqrt(square)
	if free := len(points) - 2; free >= 2 {
		chiSquare := 0.0
		for i, p := range points {
			off := p.Level - meanLevel - slope*(days[i]-meanDay)
			chiSquare += weights[i] * off * off
		}
		sd *= max(1, math.Sqrt(chiSquare/float64(free)))
	}
	return slope * span, sd
}

// normalBelow is the chance that a standard normal variable is below z.
func normalBelow(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

func percent(chance float64) string {
	return fmt.Sprintf("%.0f %%", min(max(math.Round(100*chance), 1), 99))
}

// Prior is what to believe of the group before its next warm-up, from its last date,
// widened with the time since; false where there is none. See
// ability.PriorFromPast.
func (t *Trend) Prior(now time.Time) (ability.Prior, bool) {
	if len(t.Points) == 0 {
		return ability.Prior{}, false
	}
	last := t.Points[len(t.Points)-1]
	return ability.PriorFromPast(last.Level, last.SD, now.Sub(last.Date).Hours()/24), true
}

// Sparkline draws the levels as a row of blocks, one a date, lowest to highest. It
// is empty below two dates; levels within a tenth of a tier are drawn alike.
func Sparkline(points []Point) string {
	if len(points) < 2 {
		return ""
	}
	blocks := []rune("▁▂▃▄▅▆▇█")
	byLevel := func(a, b Point) int { return cmp.Compare(a.Level, b.Level) }
	low, high := slices.MinFunc(points, byLevel).Level, slices.MaxFunc(points, byLevel).Level
	var b strings.Builder
	for _, p := range points {
		k := len(blocks) / 2
		if high-low > 0.1 {
			k = int(math.Round((p.Level - low) / (high - low) * float64(len(blocks)-1)))
		}
		b.WriteRune(blocks[k])
	}
	return b.String()
}
