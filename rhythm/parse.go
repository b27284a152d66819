package rhythm

import (
	"fmt"
	"strings"
	"unicode"
)

// maxNotation bounds the text of a phrase, in bytes; 64 bars of 32 beats of 16 boxes fit.
const maxNotation = 64 << 10

// Parse reads a phrase in the notation of the package comment. Tempo is in beats a minute, 20 to
// 400. A mistake in the text gives a *NotationError with line, column and advice.
func Parse(notation string, meter Meter, tempo float64) (Phrase, error) {
	p, _, err := Inspect(notation, meter, tempo)
	return p, err
}

// MustParse is like [Parse] with a metre given as text, but panics on an error. For tests and fixed
// phrases.
func MustParse(notation, meter string, tempo float64) Phrase {
	p, err := Parse(notation, MustParseMeter(meter), tempo)
	if err != nil {
		panic(err)
	}
	return p
}

// Remark is something legal that the writer may not have meant.
type Remark struct {
	Line, Column int    // 1-based place in the notation
	Text         string // what it means as written, and how to write the other meaning
}

// Inspect is [Parse] that also reports what is legal but may not be meant: a short run that fills a
// whole bar where one beat may have been intended, and unusual divisions of a compound beat.
func Inspect(notation string, meter Meter, tempo float64) (Phrase, []Remark, error) {
	if meter.IsZero() {
		return Phrase{}, nil, &NotationError{
			Source: notation, Line: 1, Column: 1, Message: "the phrase has no metre",
			Advice: `give one, for example "4/4"`,
		}
	}
	if err := checkTempo(tempo); err != nil {
		return Phrase{}, nil, err
	}
	if len(notation) > maxNotation {
		return Phrase{}, nil, &NotationError{
			Source: notation[:80], Line: 1, Column: 1,
			Message: "the phrase is too long to be one",
			Advice:  fmt.Sprintf("write at most %d bars", MaxBars),
		}
	}
	bars, err := split(notation)
	if err != nil {
		return Phrase{}, nil, err
	}
	r := reader{source: notation, meter: meter}
	for i, bar := range bars {
		if err := r.bar(i, bar); err != nil {
			return Phrase{}, nil, err
		}
	}
	if len(r.strokes) == 0 {
		first := bars[0][0]
		return Phrase{}, nil, r.fail(first, "the phrase has no stroke",
			`write at least one x, for example "`+plainBar(meter)+`"`)
	}
	p := build(meter, tempo, len(bars), fineUnit, r.strokes)
	p.written = &written{text: spaced(bars), boxes: r.boxes}
	return p, r.remarks, nil
}

// spaced writes bars of tokens again, with one space between.
func spaced(bars [][]token) string {
	var b strings.Builder
	for i, bar := range bars {
		if i > 0 {
			b.WriteString(" |")
		}
		for k, t := range bar {
			if i+k > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(string(t.text))
		}
	}
	return b.String()
}

// token is one unbroken run of boxes with its place.
type token struct {
	text         []rune
	line, column int
}

// split cuts the text into bars of tokens. Every bar has at least one token.
func split(notation string) ([][]token, error) {
	var bars [][]token
	var bar []token
	open, barsLeft := false, false // open: inside a token; barsLeft: a bar line stands after the last token
	line, column := 1, 0
	fail := func(message, advice string) error {
		return &NotationError{Source: notation, Line: line, Column: column, Message: message, Advice: advice}
	}
	for _, r := range notation {
		column++
		switch {
		case r == '|':
			if len(bar) == 0 && (len(bars) > 0 || barsLeft) {
				return nil, fail("an empty bar", `write a silent bar as "." beats, for example ". . . ."`)
			}
			if len(bar) > 0 {
				bars, bar = append(bars, bar), nil
			}
			open, barsLeft = false, true
		case r == '\n':
			line, column, open = line+1, 0, false
		case unicode.IsSpace(r):
			open = false
		default:
			if _, _, ok := strokeOf(r); !ok {
				return nil, fail(unknownBox(r))
			}
			if !open {
				if len(bar) == 0 && len(bars) == MaxBars {
					return nil, fail(fmt.Sprintf("more than %d bars", MaxBars), "split the phrase in two")
				}
				bar, open = append(bar, token{line: line, column: column}), true
			}
			last := &bar[len(bar)-1]
			last.text = append(last.text, r)
		}
	}
	if len(bar) > 0 {
		bars = append(bars, bar)
	}
	if len(bars) == 0 {
		line, column = 1, 1
		return nil, fail("the phrase is empty", `write boxes, for example "x x xx x"`)
	}
	return bars, nil
}

// reader turns bars of tokens into strokes on the fine grid.
type reader struct {
	source  string
	meter   Meter
	strokes []Stroke
	boxes   []int // by beat
	remarks []Remark
}

func (r *reader) fail(t token, message, advice string) error {
	return &NotationError{Source: r.source, Line: t.line, Column: t.column, Message: message, Advice: advice}
}

// reparted is what to write where the boxes of a bar of quarters would fill it if each were shorter
// than it was written; empty where they would not.
func (r *reader) reparted(bar []token) string {
	beats, boxes := r.meter.Beats(), ""
	for _, beat := range bar {
		boxes += string(beat.text)
	}
	if len(bar) >= beats || len(boxes)%beats != 0 || r.meter.Kind() != Simple ||
		r.meter.Unit() != 4 || strings.Trim(boxes, ".-xspnXSPN") != "" {
		return ""
	}
	n := len(boxes) / beats
	name := boxNames[n]
	if name == "" || n == 1 {
		return ""
	}
	var parts []string
	for i := range beats {
		parts = append(parts, boxes[i*n:(i+1)*n])
	}
	return fmt.Sprintf("if each box is %s: %s", name, strings.Join(parts, " "))
}

func (r *reader) bar(index int, bar []token) error {
	beats := r.meter.Beats()
	if len(bar) == 1 && beats > 1 {
		return r.run(index, bar[0])
	}
	if len(bar) != beats {
		at := bar[len(bar)-1]
		advice := fmt.Sprintf(`write "." for each silent beat, for example "%s"`, plainBar(r.meter))
		if meant := r.reparted(bar); meant != "" {
			advice = meant
		}
		if len(bar) > beats {
			at = bar[beats]
			advice = `put "|" before the next bar, or join the boxes of one beat without a space`
		}
		return r.fail(at, fmt.Sprintf("bar %d has %s, %s has %d", index+1, count(len(bar), "beat"),
			r.meter, beats), advice)
	}
	at := index * r.meter.Count() * fineUnit
	for i, beat := range bar {
		if err := r.beat(beat, beat.text, at, r.meter.BeatUnits(i), beat.column); err != nil {
			return err
		}
		at += r.meter.BeatUnits(i) * fineUnit
	}
	return nil
}

// run reads a bar written as one unbroken run of boxes.
func (r *reader) run(index int, t token) error {
	beats, length := r.meter.Beats(), len(t.text)
	parts, word := beats, "beats"
	if r.meter.Kind() == Additive {
		parts, word = r.meter.Count(), "units"
	}
	if length%parts != 0 {
		return r.fail(t, fmt.Sprintf("a run of %s does not divide a bar of %s, which has %d %s",
			count(length, "box"), r.meter, parts, word),
			fmt.Sprintf(`write a multiple of %d boxes, or separate the beats by spaces, for example "%s"`,
				parts, plainBar(r.meter)))
	}
	if length <= 4 || (r.meter.Kind() == Compound && length == 6) {
		r.remarks = append(r.remarks, Remark{
			t.line, t.column,
			fmt.Sprintf("%q fills the whole bar, %s a beat; for one beat of it write the other "+
				"beats too, for example %q",
				string(t.text), count(length/beats, "box"), string(t.text)+strings.Repeat(" .", beats-1)),
		})
	}
	perUnit := length / parts
	at, from := index*r.meter.Count()*fineUnit, 0
	for i := range beats {
		boxes := perUnit
		if r.meter.Kind() == Additive {
			boxes = perUnit * r.meter.BeatUnits(i)
		}
		if err := r.beat(t, t.text[from:from+boxes], at, r.meter.BeatUnits(i), t.column+from); err != nil {
			return err
		}
		from += boxes
		at += r.meter.BeatUnits(i) * fineUnit
	}
	return nil
}

// beat reads the boxes of one beat that begins at fine step at and lasts the given number of units.
func (r *reader) beat(t token, boxes []rune, at, units, column int) error {
	n := len(boxes)
	if n > MaxBoxesPerBeat {
		t.column = column
		return r.fail(t, fmt.Sprintf("a beat of %d boxes", n),
			fmt.Sprintf("write at most %d boxes a beat", MaxBoxesPerBeat))
	}
	if units == 3 && r.meter.Kind() == Compound && n != 1 && n != 2 && n != 3 && n != 6 {
		r.remarks = append(r.remarks, Remark{
			t.line, column,
			fmt.Sprintf("%s in a beat of three eighths is unusual; 1, 2, 3 or 6 are common",
				count(n, "box")),
		})
	}
	r.boxes = append(r.boxes, n)
	for i, box := range boxes {
		if stroke, sounded, _ := strokeOf(box); sounded {
			stroke.Step = at + i*units*fineUnit/n
			r.strokes = append(r.strokes, stroke)
		}
	}
	return nil
}
