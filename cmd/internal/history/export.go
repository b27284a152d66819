package history

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

// exportColumns are the columns of an exported table, one row a round.
var exportColumns = []string{
	"date", "group", "people", "phrase", "notation", "meter", "tempo_bpm", "attempt", "share",
	"share_sd", "heard",
	"difficulty", "level", "level_sd", "tier", "tool",
}

// Export writes records as CSV (RFC 4180) with a header, one row a round; a
// warm-up without rounds is one row with those columns empty. Texts that a spreadsheet
// would take for a formula get an apostrophe in front.
func Export(w io.Writer, records []Record) error {
	out := csv.NewWriter(w)
	rows := [][]string{exportColumns}
	for _, r := range records {
		rounds := r.Rounds
		if len(rounds) == 0 {
			rounds = []Round{{}}
		}
		for _, round := range rounds {
			rows = append(rows, exportRow(r, round))
		}
	}
	if err := out.WriteAll(rows); err != nil {
		return fmt.Errorf("exporting the history: %w", err)
	}
	return nil
}

func exportRow(r Record, round Round) []string {
	row := []string{
		r.Date.Format(time.RFC3339), plainCell(r.Group), whole(r.People),
		"", plainCell(round.Notation), plainCell(round.Meter), decimal(round.Tempo),
		whole(round.Attempt), "", decimal(round.ShareSD), round.Heard,
		"", "", "", "", plainCell(r.Tool),
	}
	if round.Phrase != nil {
		row[3] = plainCell(*round.Phrase)
	}
	if round.Share != nil {
		row[8] = number(*round.Share)
	}
	if round.Notation != "" {
		row[11] = number(round.Difficulty)
	}
	if e := r.Estimate; e != nil {
		row[12], row[13] = number(e.Ability), number(e.AbilitySD)
		if e.Tier != nil {
			row[14] = strconv.Itoa(*e.Tier)
		}
	}
	return row
}

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// decimal and whole leave unknown numbers, which are 0, empty.
func decimal(x float64) string {
	if x == 0 {
		return ""
	}
	return number(x)
}

func whole(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// plainCell keeps a spreadsheet from running a text.
func plainCell(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}
