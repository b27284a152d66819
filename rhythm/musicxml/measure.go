package musicxml

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"clapladder.example/rhythm"
)

// part is what is read of one part.
type part struct {
	name      string
	sounds    map[string]rhythm.Sound
	divisions int64        // parts of a quarter note now in force
	meter     rhythm.Meter // zero until a time signature is seen
	bars      int
	onsets    []onset
	tempo     float64 // quarters a minute; 0: none
}

// onset is one stroke in its bar, in parts of a quarter note.
type onset struct {
	bar           int
	at, divisions int64
	sound         rhythm.Sound
	accent        bool
}

// maxTime bounds durations and divisions: far beyond any score, so that sums do not overflow.
const maxTime = 1 << 31

// part reads the measures of a part.
func (r *reader) part(p *part) error {
	return r.children(func(e xml.StartElement) error {
		if e.Name.Local != "measure" {
			return r.decoder.Skip()
		}
		if p.bars == rhythm.MaxBars {
			return &Error{
				Where:   fmt.Sprintf("part %q", p.name),
				Message: fmt.Sprintf("more than %d bars", rhythm.MaxBars),
				Advice:  "export only the bars of one phrase",
			}
		}
		return r.measure(p, e)
	})
}

// cursor is the place in a measure.
type cursor struct {
	where     string
	at, last  int64 // now, and where the note before began
	end       int64 // furthest place reached
	firstNote int   // index of the measure's first onset
}

// measure reads one bar.
func (r *reader) measure(p *part, e xml.StartElement) error {
	c := cursor{
		where:     fmt.Sprintf("part %q, measure %s", p.name, attribute(e, "number")),
		firstNote: len(p.onsets),
	}
	err := r.children(func(e xml.StartElement) error {
		switch e.Name.Local {
		case "attributes":
			return r.attributes(p, &c, e)
		case "note":
			return r.note(p, &c, e)
		case "backup", "forward":
			return r.move(p, &c, e)
		case "direction":
			var d struct {
				Sound     []soundIn     `xml:"sound"`
				Metronome []metronomeIn `xml:"direction-type>metronome"`
			}
			if err := r.decoder.DecodeElement(&d, &e); err != nil {
				return err
			}
			for _, s := range d.Sound {
				r.setTempo(positive(s.Tempo))
			}
			for _, m := range d.Metronome {
				r.setTempo(m.quarters())
			}
			return nil
		case "sound":
			r.setTempo(positive(attribute(e, "tempo")))
			return r.decoder.Skip()
		}
		return r.decoder.Skip()
	})
	if err != nil {
		return err
	}
	return p.endMeasure(&c, attribute(e, "implicit") == "yes" || attribute(e, "number") == "0")
}

// endMeasure checks the length of a bar and moves a pickup to its end.
func (p *part) endMeasure(c *cursor, implicit bool) error {
	if p.meter.IsZero() {
		p.meter = rhythm.MustParseMeter("4/4")
	}
	p.divisions = cmp.Or(p.divisions, 1)
	// A bar is divisions * 4 * count / unit long; compare without dividing.
	unit := int64(p.meter.Unit())
	full := p.divisions * 4 * int64(p.meter.Count())
	if c.end*unit > full {
		return &Error{Where: c.where, Message: fmt.Sprintf("the bar is longer than its metre %s",
			p.meter), Advice: "write the metre that the bar has"}
	}
	if p.bars == 0 && implicit && c.end*unit < full {
		// The pickup's place is a fraction of a part where the bar is; count finer.
		for i := c.firstNote; i < len(p.onsets); i++ {
			o := &p.onsets[i]
			o.at = o.at*unit + full - c.end*unit
			o.divisions *= unit
		}
	}
	p.bars++
	return nil
}

func (r *reader) attributes(p *part, c *cursor, e xml.StartElement) error {
	var a struct {
		Divisions string   `xml:"divisions"`
		Times     []timeIn `xml:"time"`
	}
	if err := r.decoder.DecodeElement(&a, &e); err != nil {
		return err
	}
	if text := strings.TrimSpace(a.Divisions); text != "" {
		divisions, err := strconv.ParseInt(text, 10, 64)
		if err != nil || divisions < 1 || divisions > 1<<20 {
			return damaged(c.where, "%.20q is not a number of divisions", text)
		}
		if p.divisions != 0 && divisions != p.divisions && c.end > 0 {
			return damaged(c.where, "the divisions change inside the bar")
		}
		p.divisions = divisions
	}
	for _, t := range a.Times {
		meter, err := t.meter(c.where)
		if err != nil {
			return err
		}
		if !p.meter.IsZero() && meter != p.meter {
			return &Error{Where: c.where, Message: fmt.Sprintf("the metre changes from %s to %s",
				p.meter, meter), Advice: "export the bars of one metre"}
		}
		p.meter = meter
	}
	return nil
}

// timeIn is a time signature as read.
type timeIn struct {
	Beats    []string  `xml:"beats"`
	BeatType []string  `xml:"beat-type"`
	Senza    *struct{} `xml:"senza-misura"`
}

func (t timeIn) meter(where string) (rhythm.Meter, error) {
	unsupported := func(message string, err error) (rhythm.Meter, error) {
		return rhythm.Meter{}, &Error{
			Where: where, Message: message,
			Advice: "write one metre such as 4/4, 6/8 or 7/8 as 2+2+3", Err: err,
		}
	}
	switch {
	case t.Senza != nil:
		return unsupported("the music has no metre", nil)
	case len(t.Beats) != 1 || len(t.BeatType) != 1:
		return unsupported("the metre is made of several fractions", nil)
	}
	beats, unit := strings.Join(strings.Fields(t.Beats[0]), ""), strings.TrimSpace(t.BeatType[0])
	count := 0
	for group := range strings.SplitSeq(beats, "+") {
		n, err := strconv.Atoi(group)
		if err != nil || n < 1 || n > 64 {
			return unsupported(fmt.Sprintf("%.20q is not a number of beats", beats), err)
		}
		count += n
	}
	text := fmt.Sprintf("%d/%s", count, unit)
	if strings.Contains(beats, "+") {
		text += "=" + beats
	}
	meter, err := rhythm.ParseMeter(text)
	if err != nil && !strings.Contains(beats, "+") {
		meter, err = rhythm.ParseMeter(text + "=" + twosThenThree(count))
	}
	if err != nil {
		return unsupported(fmt.Sprintf("the metre %.20q can't be that of a phrase", text), err)
	}
	return meter, nil
}

// twosThenThree groups a count in twos, with a three last if it is odd: a signature does not say
// more.
func twosThenThree(count int) string {
	var groups []string
	for count > 3 {
		groups, count = append(groups, "2"), count-2
	}
	return strings.Join(append(groups, strconv.Itoa(count)), "+")
}

type soundIn struct {
	Tempo string `xml:"tempo,attr"`
}

type metronomeIn struct {
	Unit      string     `xml:"beat-unit"`
	Dots      []struct{} `xml:"beat-unit-dot"`
	PerMinute string     `xml:"per-minute"`
}

// quarters is the mark in quarters a minute, 0 if it gives no number.
func (m metronomeIn) quarters() float64 {
	for shift, name := range typeNames {
		if name == strings.TrimSpace(m.Unit) {
			quarters := math.Ldexp(4, -shift)
			if len(m.Dots) > 0 {
				quarters *= 1.5
			}
			return positive(m.PerMinute) * quarters
		}
	}
	return 0
}

func positive(text string) float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || !(v > 0) || v > 1e6 {
		return 0
	}
	return v
}

// setTempo keeps the first tempo seen.
func (r *reader) setTempo(quarters float64) {
	r.tempo = cmp.Or(r.tempo, quarters)
}
