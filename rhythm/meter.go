package rhythm

import (
	"fmt"
	"strconv"
	"strings"
)

// Kind says how a metre divides its bar.
type Kind uint8

// The kinds of metre.
const (
	Simple   Kind = iota // equal beats that divide by two: 2/4, 3/4, 4/4, 5/4
	Compound             // equal beats of three eighths: 6/8, 9/8, 12/8
	Additive             // beats of unequal length: 5/8=2+3, 7/8=2+2+3
)

// String returns "simple", "compound" or "additive".
func (k Kind) String() string {
	switch k {
	case Compound:
		return "compound"
	case Additive:
		return "additive"
	}
	return "simple"
}

const (
	maxMeterUnits = 32
	maxGroups     = 16
)

// Meter is a time signature with its beats. The zero Meter is not valid; get one from [ParseMeter].
// Meters are comparable with ==.
type Meter struct {
	count, unit uint8            // as written: count/unit
	groupCount  uint8            // number of groups in use
	groups      [maxGroups]uint8 // sizes in units, for additive metres and marked strong beats
}

// ParseMeter reads "4/4", "6/8", "7/8=2+2+3" or "5/4=3+2". White space around the parts is ignored.
// A bar of eighths whose beats are not clear (5/8, 7/8, 8/8) is an error that suggests a grouping.
// The error is a *NotationError.
func ParseMeter(text string) (Meter, error) {
	fail := func(column int, message, advice string) (Meter, error) {
		return Meter{}, &NotationError{
			Source: text, Line: 1, Column: column, Message: message,
			Advice: advice,
		}
	}
	signature, grouping, grouped := strings.Cut(text, "=")
	countText, unitText, ok := strings.Cut(signature, "/")
	if !ok {
		return fail(1, fmt.Sprintf("%q is not a metre", strings.TrimSpace(text)),
			`write for example "4/4", "6/8" or "7/8=2+2+3"`)
	}
	count, err := strconv.Atoi(strings.TrimSpace(countText))
	if err != nil || count < 1 || count > maxMeterUnits {
		return fail(1, fmt.Sprintf("%q is not a number of beats", strings.TrimSpace(countText)),
			fmt.Sprintf("write a whole number from 1 to %d before the stroke", maxMeterUnits))
	}
	unitColumn := runeLength(countText) + 2
	unit, err := strconv.Atoi(strings.TrimSpace(unitText))
	if err != nil || (unit != 2 && unit != 4 && unit != 8 && unit != 16) {
		return fail(unitColumn, fmt.Sprintf("%q is not a note value", strings.TrimSpace(unitText)),
			"write 2, 4, 8 or 16 after the stroke")
	}
	m := Meter{count: uint8(count), unit: uint8(unit)}
	if grouped {
		return m.group(text, grouping, runeLength(signature)+2)
	}
	if unit >= 8 && count%3 != 0 && count != 1 && count != 2 && count != 4 {
		return fail(1, fmt.Sprintf("%d/%d does not say where its beats are", count, unit),
			"write "+strings.Join(suggestGroupings(count, unit), " or "))
	}
	return m, nil
}

// MustParseMeter is like [ParseMeter] but panics on an error. For tests and fixed metres.
func MustParseMeter(text string) Meter {
	m, err := ParseMeter(text)
	if err != nil {
		panic(err)
	}
	return m
}

func (m Meter) group(text, grouping string, column int) (Meter, error) {
	fail := func(column int, message, advice string) (Meter, error) {
		return Meter{}, &NotationError{
			Source: text, Line: 1, Column: column, Message: message,
			Advice: advice,
		}
	}
	count, unit := int(m.count), int(m.unit)
	sum, allThrees := 0, true
	at := column
	for part := range strings.SplitSeq(grouping, "+") {
		size, err := strconv.Atoi(strings.TrimSpace(part))
		if err != nil || size < 1 || size > maxMeterUnits {
			return fail(at, fmt.Sprintf("%q is not the size of a group", strings.TrimSpace(part)),
				`write sizes joined by +, for example "7/8=2+2+3"`)
		}
		if unit >= 8 && size != 2 && size != 3 {
			return fail(at, fmt.Sprintf("a beat of %d units is not possible in %d/%d", size, count,
				unit), "write groups of 2 and 3, for example "+suggestGroupings(count, unit)[0])
		}
		if m.groupCount == maxGroups {
			return fail(at, "too many groups", fmt.Sprintf("write at most %d groups", maxGroups))
		}
		m.groups[m.groupCount] = uint8(size)
		m.groupCount++
		sum += size
		allThrees = allThrees && size == 3
		at += runeLength(part) + 1
	}
	if sum != count {
		return fail(column, fmt.Sprintf("the groups add up to %d, not %d", sum, count),
			"write for example "+suggestGroupings(count, unit)[0])
	}
	if unit >= 8 && allThrees {
		return Meter{count: m.count, unit: m.unit}, nil // 6/8=3+3 is plain 6/8
	}
	return m, nil
}

// suggestGroupings proposes groupings of 2 and 3, shortest groups first and then last.
func suggestGroupings(count, unit int) []string {
	if unit < 8 {
		half := (count + 1) / 2
		if count < 2 {
			return []string{fmt.Sprintf("%d/%d", count, unit)}
		}
		return []string{fmt.Sprintf("%d/%d=%d+%d", count, unit, half, count-half)}
	}
	if count == 1 { // no group of 2 or 3 fits
		return []string{fmt.Sprintf("1/%d", unit)}
	}
	if count < 4 {
		return []string{fmt.Sprintf("%d/%d=%d", count, unit, count)}
	}
	if count == 8 {
		return []string{fmt.Sprintf("8/%d=3+3+2", unit)}
	}
	var groups []string
	for left := count; left > 0; {
		if left == 3 {
			groups, left = append(groups, "3"), 0
			continue
		}
		groups, left = append(groups, "2"), left-2
	}
	forwards := fmt.Sprintf("%d/%d=%s", count, unit, strings.Join(groups, "+"))
	if count%2 == 0 {
		return []string{forwards}
	}
	groups[0], groups[len(groups)-1] = groups[len(groups)-1], groups[0]
	return []string{forwards, fmt.Sprintf("%d/%d=%s", count, unit, strings.Join(groups, "+"))}
}

// String writes the metre as [ParseMeter] reads it.
func (m Meter) String() string {
	text := fmt.Sprintf("%d/%d", m.count, m.unit)
	for i, size := range m.groups[:m.groupCount] {
		separator := "+"
		if i == 0 {
			separator = "="
		}
		text += separator + strconv.Itoa(int(size))
	}
	return text
}

// IsZero reports whether m is the zero Meter, which stands for "no metre".
func (m Meter) IsZero() bool { return m.count == 0 }

// Count is the upper number of the signature.
func (m Meter) Count() int { return int(m.count) }

// Unit is the lower number of the signature: 2, 4, 8 or 16.
func (m Meter) Unit() int { return int(m.unit) }

// Kind says whether beats are simple, compound or additive.
func (m Meter) Kind() Kind {
	if m.unit < 8 {
		return Simple
	}
	if m.groupCount > 0 {
		for _, size := range m.groups[:m.groupCount] {
			if size != m.groups[0] {
				return Additive
			}
		}
		return Simple // 6/8=2+2+2: three quarters written in eighths
	}
	if m.count%3 == 0 {
		return Compound
	}
	return Simple
}

// Beats is the number of felt beats in a bar: 4 in 4/4, 2 in 6/8, 3 in 7/8=2+2+3, 5 in 5/4=3+2.
func (m Meter) Beats() int {
	switch {
	case m.unit >= 8 && m.groupCount > 0:
		return int(m.groupCount)
	case m.Kind() == Compound:
		return int(m.count) / 3
	}
	return int(m.count)
}

// BeatUnits is the length of beat i (0-based, i < Beats()) in written units: 1 in 4/4, 3 in 6/8, 2
// or 3 in 7/8=2+2+3.
func (m Meter) BeatUnits(i int) int {
	switch {
	case m.unit >= 8 && m.groupCount > 0:
		return int(m.groups[i])
	case m.Kind() == Compound:
		return 3
	}
	return 1
}

// Groups returns the sizes written after "=": units in additive metres, beats where strong beats
// are marked (5/4=3+2). It is nil where nothing was written. The caller owns the slice.
func (m Meter) Groups() []int {
	if m.groupCount == 0 {
		return nil
	}
	groups := make([]int, m.groupCount)
	for i := range groups {
		groups[i] = int(m.groups[i])
	}
	return groups
}

// StrongBeat reports whether beat i (0-based) begins a group or half of the bar that people feel as
// strong: the first beat; the beats that begin a marked group (5/4=3+2: beats 1 and 4); the third
// of four equal beats and the third of four compound ones. In other unmarked metres only the first
// beat is strong. Common practice, no source.
func (m Meter) StrongBeat(i int) bool {
	if i == 0 {
		return true
	}
	if m.unit < 8 && m.groupCount > 0 {
		at := 0
		for _, size := range m.groups[:m.groupCount] {
			if at == i {
				return true
			}
			at += int(size)
		}
		return false
	}
	return m.Beats() == 4 && i == 2 && m.Kind() != Additive
}

// TempoQuarters is the length, in quarter notes, of the unit that a tempo counts: 1 in 4/4, 2 in
// 2/2, 1.5 in 6/8, 1 in additive metres.
func (m Meter) TempoQuarters() float64 {
	if m.Kind() == Additive {
		return 1
	}
	return float64(m.BeatUnits(0)) * 4 / float64(m.unit)
}
