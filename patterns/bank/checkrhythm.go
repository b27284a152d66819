package bank

import (
	"errors"
	"fmt"
	"strings"

	"clapladder.example/patterns/internal/csvtext"
	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/tomltext"
	"clapladder.example/rhythm"
)

// tempo is in beats a minute; otherwise is what holds where none is given.
func (c *checker) tempo(t *textfile.Table, otherwise float64) float64 {
	if n := c.number(t, "tempo", rhythm.MinTempo, rhythm.MaxTempo, false); n > 0 {
		return n
	}
	return otherwise
}

// meter reads the metre, the zero one where it is not given or wrong.
func (c *checker) meter(t *textfile.Table) rhythm.Meter {
	v, ok := c.text(t, "meter")
	if !ok {
		return rhythm.Meter{}
	}
	m, err := rhythm.ParseMeter(v.Text)
	if err == nil {
		return m
	}
	if meant, isDate := csvtext.MeterFromDate(v.Text); c.cells && isDate {
		c.source.Fail(v.Start, fmt.Sprintf("meter %q is a date that a spreadsheet made of a metre",
			textfile.Short(strings.TrimSpace(v.Text))),
			"make the column text in the spreadsheet and write "+meant)
	} else {
		c.notation(v, err)
	}
	t.Lose("meter")
	return rhythm.Meter{}
}

// rhythm reads the boxes, given metre and tempo. The phrase is zero where there are none or they
// are wrong.
func (c *checker) rhythm(t *textfile.Table, meter rhythm.Meter, tempo float64) rhythm.Phrase {
	v, ok := c.text(t, "rhythm")
	if !ok {
		return rhythm.Phrase{}
	}
	if meter.IsZero() { // unknown letters can be told without one
		if strings.Trim(v.Text, "xspnXSPN.-| \t\r\n") == "" {
			return rhythm.Phrase{}
		}
		meter = rhythm.MustParseMeter("4/4")
	}
	phrase, remarks, err := rhythm.Inspect(v.Text, meter, tempo)
	if err != nil {
		c.notation(v, err)
		return rhythm.Phrase{}
	}
	for _, r := range remarks {
		c.source.Remark(c.offset(v, characterAt(v.Text, r.Line, r.Column)), r.Text)
	}
	return phrase
}

// notation notes an error of the rhythm package at its place in the file.
func (c *checker) notation(v textfile.Value, err error) {
	var notation *rhythm.NotationError
	if !errors.As(err, &notation) {
		c.source.Fail(v.Start, err.Error(), "")
		return
	}
	c.source.Fail(c.offset(v, characterAt(v.Text, notation.Line, notation.Column)),
		notation.Message, notation.Advice)
}

// offset is where in the source character i of a text stands.
func (c *checker) offset(v textfile.Value, i int) int {
	raw := c.source.Text[v.Start:v.End]
	var offsets []int
	if v.Kind == textfile.Cell {
		offsets = csvtext.Offsets(raw)
	} else {
		offsets = tomltext.Offsets(raw)
	}
	return v.Start + offsets[min(max(i, 0), len(offsets)-1)]
}

// characterAt is the number, from 0, of the character at a line and a column, both from 1.
func characterAt(text string, line, column int) int {
	i := 0
	for _, r := range text {
		if line <= 1 {
			break
		}
		if r == '\n' {
			line--
		}
		i++
	}
	return i + column - 1
}
