package bank

import (
	"errors"
	"fmt"
	"strings"

	"clapladder.example/rhythm"
)

// tempo is in beats a minute; otherwise is what holds where none is given.
func (c *checker) tempo(t *table, otherwise float64) float64 {
	if n := c.number(t, "tempo", rhythm.MinTempo, rhythm.MaxTempo, false); n > 0 {
		return n
	}
	return otherwise
}

// meter reads the metre, the zero one where it is not given or wrong.
func (c *checker) meter(t *table) rhythm.Meter {
	v, ok := c.text(t, "meter")
	if !ok {
		return rhythm.Meter{}
	}
	m, err := rhythm.ParseMeter(v.text)
	if err == nil {
		return m
	}
	if meant, isDate := meterFromDate(v.text); c.cells && isDate {
		c.source.fail(v.start, fmt.Sprintf("meter %q is a date that a spreadsheet made of a metre",
			cut(strings.TrimSpace(v.text))),
			"make the column text in the spreadsheet and write "+meant)
	} else {
		c.notation(v, err)
	}
	t.lose("meter")
	return rhythm.Meter{}
}

// rhythm reads the boxes, given metre and tempo. The phrase is zero where there are none or they
// are wrong.
func (c *checker) rhythm(t *table, meter rhythm.Meter, tempo float64) rhythm.Phrase {
	v, ok := c.text(t, "rhythm")
	if !ok {
		return rhythm.Phrase{}
	}
	if meter.IsZero() { // unknown letters can be told without one
		if strings.Trim(v.text, "xspnXSPN.-| \t\r\n") == "" {
			return rhythm.Phrase{}
		}
		meter = rhythm.MustParseMeter("4/4")
	}
	phrase, remarks, err := rhythm.Inspect(v.text, meter, tempo)
	if err != nil {
		c.notation(v, err)
		return rhythm.Phrase{}
	}
	for _, r := range remarks {
		if len(c.source.remarks) == maxProblems {
			break
		}
		c.source.remark(c.offset(v, characterAt(v.text, r.Line, r.Column)), r.Text)
	}
	return phrase
}

// notation notes an error of the rhythm package at its place in the file.
func (c *checker) notation(v value, err error) {
	var notation *rhythm.NotationError
	if !errors.As(err, &notation) {
		c.source.fail(v.start, err.Error(), "")
		return
	}
	c.source.fail(c.offset(v, characterAt(v.text, notation.Line, notation.Column)),
		notation.Message, notation.Advice)
}

// offset is where in the source character i of a text stands.
func (c *checker) offset(v value, i int) int {
	raw := c.source.text[v.start:v.end]
	var offsets []int
	if v.kind == cellValue {
		offsets = cellOffsets(raw)
	} else {
		offsets = textOffsets(raw)
	}
	return v.start + offsets[min(max(i, 0), len(offsets)-1)]
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
