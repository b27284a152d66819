package bank

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/patterns/internal/csvtext"
	"clapladder.example/patterns/internal/textfile"
)

// Outcome is how one group did with one phrase once.
type Outcome struct {
	Phrase string  // ID in the bank
	Group  string  // any name; outcomes with the same name come from the same people
	Share  float64 // of the group that got it, 0 to 1
	People int     // in the group; 0 where nobody counted
	SD     float64 // error of Share; 0 where not known, for which 0.15 is taken
	Line   int     // of the file, from 1; 0 where it came from no file
}

// The columns of a file of outcomes; the first three are needed. Other columns are ignored.
var outcomeColumns = []string{"phrase", "share", "group", "people", "sd"}

// otherOutcomeWords are what else people write for a column.
var otherOutcomeWords = map[string]string{
	"id": "phrase", "call": "phrase", "result": "share", "got_it": "share", "got it": "share",
	"n": "people", "size": "people",
	"share_sd": "sd", "error": "sd",
}

// maxOutcomes bounds the rows of a file.
const maxOutcomes = 200_000

// ReadOutcomes reads a CSV file with the columns phrase, share and group, and if known people (how
// many) and sd (the error of the share), in any order. A share is a number from 0 to 1 or a
// percentage such as 80%. Cells are separated by comma, semicolon or tab. A file that can't be used
// gives a *[FileError] with every problem found.
func ReadOutcomes(name string, data []byte) ([]Outcome, error) {
	if what, advice := notText(data); what != "" {
		return nil, &FileError{Name: name, Problems: []Problem{{Message: "this is " + what +
			", not a list of results", Advice: advice}}}
	}
	r := outcomeReader{source: textfile.New(name, data)}
	if len(data) > DefaultMaxBytes {
		r.source.FailWhole(fmt.Sprintf("the file has %.1f MB, more than %.1f",
			float64(len(data))/1e6, DefaultMaxBytes/1e6), "take the results of one year")
		return nil, fileError(r.source)
	}
	r.read()
	if r.source.Clean() && len(r.outcomes) == 0 {
		r.source.FailWhole("there is no result",
			"write a first line phrase,share,group and below it one line for each answer")
	}
	return r.outcomes, fileError(r.source)
}

type outcomeReader struct {
	source   *textfile.Source
	column   map[string]int
	outcomes []Outcome
}

func (r *outcomeReader) read() {
	_, rows := csvtext.Rows(r.source, '#')
	for cells := range rows {
		switch {
		case r.column == nil:
			if !r.header(cells) {
				return
			}
		case len(r.outcomes) == maxOutcomes:
			r.source.Fail(cells[0].Start, fmt.Sprintf("more than %d results", maxOutcomes),
				"take the results of one year")
			return
		default:
			r.row(cells)
		}
	}
}

func (r *outcomeReader) header(cells []textfile.Value) bool {
	r.column = map[string]int{}
	for i, cell := range cells {
		word := strings.ToLower(strings.TrimSpace(cell.Text))
		if other, ok := otherOutcomeWords[word]; ok {
			word = other
		}
		if _, taken := r.column[word]; !taken && slices.Contains(outcomeColumns, word) {
			r.column[word] = i
		}
	}
	for _, needed := range outcomeColumns[:3] {
		if _, ok := r.column[needed]; !ok {
			r.source.Fail(cells[0].Start, fmt.Sprintf("there is no column %q", needed),
				"write a first line phrase,share,group")
			return false
		}
	}
	return true
}

func (r *outcomeReader) row(cells []textfile.Value) {
	cell := func(column string) (text string, at int) {
		i, ok := r.column[column]
		if !ok || i >= len(cells) {
			return "", cells[0].Start
		}
		return strings.TrimSpace(cells[i].Text), cells[i].Start
	}
	phrase, at := cell("phrase")
	group, _ := cell("group")
	o := Outcome{Phrase: phrase, Group: group, Line: r.source.LineAt(cells[0].Start)}
	if phrase == "" {
		r.source.Fail(at, "the row names no phrase", "write the id of the phrase")
		return
	}
	text, at := cell("share")
	share, ok := shareOf(text)
	if !ok {
		r.source.Fail(at, fmt.Sprintf("share %q is not a share", textfile.Short(text)),
			"write a number from 0 to 1, or a percentage such as 80%")
		return
	}
	o.Share = share
	if text, at = cell("people"); text != "" {
		people, err := strconv.Atoi(text)
		if err != nil || people < 1 || people > 100_000 {
			r.source.Fail(at,
				fmt.Sprintf("people %q is not a number of people", textfile.Short(text)),
				"write a whole number from 1, or nothing")
			return
		}
		o.People = people
	}
	if text, at = cell("sd"); text != "" {
		if o.SD, ok = shareOf(text); !ok {
			r.source.Fail(at,
				fmt.Sprintf("sd %q is not the error of a share", textfile.Short(text)),
				"write a number from 0 to 1, or nothing")
			return
		}
	}
	r.outcomes = append(r.outcomes, o)
}

// shareOf reads 0.8, 0,8, 80% and 80 %.
func shareOf(text string) (float64, bool) {
	number, percent := strings.CutSuffix(text, "%")
	number = strings.TrimSpace(number)
	if !strings.Contains(number, ".") {
		number = strings.Replace(number, ",", ".", 1)
	}
	share, err := strconv.ParseFloat(number, 64)
	if percent {
		share /= 100
	}
	return share, err == nil && !math.IsNaN(share) && share >= 0 && share <= 1
}
