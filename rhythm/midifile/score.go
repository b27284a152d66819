package midifile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"clapladder.example/rhythm/internal/midiwrite"

	"clapladder.example/rhythm"
)

// score is where a phrase lies in a file. Lengths are in parts of a tick: a tick has as many parts
// as the metre's lower number, so that a written unit is a whole number of parts.
type score struct {
	meter rhythm.Meter
	start int64 // of bar 1
	unit  int64 // length of one written unit
	bars  int
}

// tick is the number of parts in a tick.
func (s score) tick() int64 { return int64(s.meter.Unit()) }

func (s score) bar() int64 { return s.unit * int64(s.meter.Count()) }

// score finds metre and bars of the phrase that holds the notes.
func (f *file) score(meter rhythm.Meter, notes []note) (score, error) {
	from, to, marked := f.markers()
	first, last := notes[0].ticks, notes[len(notes)-1].ticks
	if last < from || first >= to {
		marked = false // markers of something else
	}
	if !marked {
		from, to = first, endless
	}
	since, err := int64(0), error(nil)
	if meter.IsZero() {
		if meter, since, err = f.meterAt(from, last); err != nil {
			return score{}, err
		}
	}
	s := score{meter: meter, unit: int64(f.division) * 4}
	slack := int64(early * float64(s.unit*int64(meter.BeatUnits(meter.Beats()-1))))
	if marked {
		s.start = from * s.tick()
	} else {
		// Bars count from the metre in force; a note played just before a bar line belongs to the
		// bar after it.
		s.start = since * s.tick()
		s.start += (first*s.tick() + slack - s.start) / s.bar() * s.bar()
	}
	bars := (last*s.tick()+slack-s.start)/s.bar() + 1
	if marked && to < endless {
		bars = ((to-from)*s.tick() + s.bar()/2) / s.bar()
	}
	if bars < 1 || bars > rhythm.MaxBars {
		return score{}, &Error{Message: fmt.Sprintf("the line has %d bars, a phrase 1 to %d", bars,
			rhythm.MaxBars), Advice: "cut out the bars of one phrase"}
	}
	s.bars = int(bars)
	return s, nil
}

const endless = int64(1) << 62

// markers finds the marked phrase.
func (f *file) markers() (from, to int64, ok bool) {
	to = endless
	for _, t := range f.tracks {
		for _, e := range t.events {
			var text string
			if !e.message.GetMetaMarker(&text) {
				continue
			}
			switch strings.ToLower(strings.TrimSpace(text)) {
			case midiwrite.MarkPhrase:
				if !ok {
					from, ok = e.ticks, true
				}
			case midiwrite.MarkAnswer, midiwrite.MarkEnd:
				to = min(to, e.ticks)
			}
		}
	}
	return from, to, ok && to > from
}

// meterAt is the metre in force at a tick and where it began. It fails if the metre changes before
// the last note.
func (f *file) meterAt(ticks, last int64) (meter rhythm.Meter, since int64, err error) {
	type signature struct {
		ticks      int64
		count, log uint8
	}
	var signatures []signature
	written := ""
	for _, t := range f.tracks {
		for _, e := range t.events {
			s := signature{ticks: e.ticks}
			var text string
			if e.message.GetMetaTimeSig(&s.count, &s.log, nil, nil) {
				signatures = append(signatures, s)
			} else if e.message.GetMetaText(&text) && written == "" {
				written, _ = strings.CutPrefix(strings.TrimSpace(text), midiwrite.TextMeter)
			}
		}
	}
	slices.SortStableFunc(signatures, func(a, b signature) int { return cmp.Compare(a.ticks, b.ticks) })
	now := signature{count: 4, log: 4}
	for _, s := range signatures {
		if s.ticks <= ticks {
			now = s
		} else if s.ticks <= last && (s.count != now.count || s.log != now.log) {
			return meter, 0, &Error{
				Message: fmt.Sprintf("the metre changes from %d/%d to %d/%d",
					now.count, now.log, s.count, s.log),
				Advice: "cut the file where the metre changes, or give one metre",
			}
		}
	}
	signed := fmt.Sprintf("%d/%d", now.count, now.log)
	if m, err := rhythm.ParseMeter(written); err == nil && strings.HasPrefix(m.String(), signed) &&
		m.Count() == int(now.count) {
		return m, now.ticks, nil
	}
	meter, err = rhythm.ParseMeter(signed)
	if err != nil {
		meter, err = rhythm.ParseMeter(signed + "=" + twosThenThree(int(now.count)))
	}
	if err != nil {
		return meter, 0, &Error{Message: "the metre " + signed +
			" can't be read as one of a phrase", Advice: "give the metre, for example 4/4", Err: err}
	}
	return meter, now.ticks, nil
}

// twosThenThree groups a count in twos, with a three last if it is odd.
func twosThenThree(count int) string {
	var groups []string
	for count > 3 {
		groups, count = append(groups, "2"), count-2
	}
	return strings.Join(append(groups, fmt.Sprint(count)), "+")
}
