package bank

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"clapladder.example/patterns/internal/csvtext"
	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/tomltext"
	"clapladder.example/patterns/tierscale"
)

// Pin is where a phrase of a bank is to be placed.
type Pin struct {
	ID           string  // of the phrase
	Tier         int     // 1 to 20; 0 takes the tier out of the file
	Difficulty   float64 // 0.1 to 20.5; 0 takes the difficulty out of the file
	DifficultySD float64 // 0.05 to 5; 0 takes it out
	LearnedFrom  int     // groups; 0 takes the number out: the placing is the leader's own
}

// SetPins writes placings into the text of a bank, TOML or CSV, and leaves everything else as it
// is: comments, order, spacing, line ends. Numbers are written with two decimals at most. Pins of
// phrases that the bank doesn't have are an error, so is a bank that can't be read (*[FileError]).
// The name is only used in messages, and as in [Load]. src is not changed.
func SetPins(name string, src []byte, pins []Pin) ([]byte, error) {
	edits := make([]textfile.Edit, 0, 4*len(pins))
	seen := make(map[string]bool, len(pins))
	for _, p := range pins {
		if seen[p.ID] {
			return nil, fmt.Errorf("two pins for %s", p.ID)
		}
		seen[p.ID] = true
		tier, err := tierText(p.ID, p.Tier)
		if err != nil {
			return nil, err
		}
		difficulty, err := difficultyText(p.ID, p.Difficulty)
		if err != nil {
			return nil, err
		}
		sd, groups, err := learnedText(p)
		if err != nil {
			return nil, err
		}
		for _, value := range [][2]string{
			{"tier", tier}, {"difficulty", difficulty}, {"difficulty_sd", sd}, {"learned_from", groups},
		} {
			edits = append(edits, textfile.Edit{ID: p.ID, Key: value[0], Value: value[1]})
		}
	}
	return editBank(name, src, edits)
}

func tierText(id string, tier int) (string, error) {
	switch {
	case tier == 0:
		return "", nil
	case tier < 0 || tier > tierscale.Highest:
		return "", fmt.Errorf("tier %d of %s is out of range; a tier is a whole number from 1 to "+
			"%d", tier, id, tierscale.Highest)
	}
	return fmt.Sprint(tier), nil
}

func difficultyText(id string, difficulty float64) (string, error) {
	switch {
	case difficulty == 0:
		return "", nil
	case !(difficulty >= tierscale.Min && difficulty <= tierscale.Max):
		return "", fmt.Errorf("difficulty %g of %s is out of range; a difficulty is a number "+
			"from %g to %g", difficulty, id, tierscale.Min, tierscale.Max)
	}
	return shortNumber(difficulty), nil
}

// learnedText is how sure a pin is, and where it comes from.
func learnedText(p Pin) (sd, groups string, err error) {
	if p.DifficultySD != 0 {
		if !(p.DifficultySD >= minSD && p.DifficultySD <= maxSD) {
			return "", "", fmt.Errorf("difficulty_sd %g of %s is out of range; it is a number "+
				"from %g to %g", p.DifficultySD, p.ID, minSD, maxSD)
		}
		sd = shortNumber(p.DifficultySD)
	}
	if p.LearnedFrom != 0 {
		if p.LearnedFrom < 0 || p.LearnedFrom > maxGroups {
			return "", "", fmt.Errorf("learned_from %d of %s is out of range; it is a whole "+
				"number from 1 to %d",
				p.LearnedFrom, p.ID, maxGroups)
		}
		groups = fmt.Sprint(p.LearnedFrom)
	}
	return sd, groups, nil
}

// shortNumber writes a number with two decimals at most.
func shortNumber(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", x), "0"), ".")
}

// AppendPhrase adds a phrase to the text of a bank, TOML or CSV, at the end, and leaves everything
// else as it is. An empty text becomes a new bank, in CSV if the name ends so. An ID that is taken,
// or a phrase that can't be written, is an error. src is not changed.
func AppendPhrase(name string, src []byte, e Entry) ([]byte, error) {
	if len(bytes.TrimSpace(bytes.TrimPrefix(src, textfile.ByteOrderMark))) == 0 {
		b := Bank{Entries: []Entry{e}}
		if _, kind := (Loader{}).open(name, nil); kind == commaSeparated {
			return b.EncodeCSV(',')
		}
		return b.EncodeTOML()
	}
	s, kind := unlimited.open(name, src)
	if err := fileError(s); err != nil {
		return nil, err
	}
	var out []byte
	if kind == commaSeparated {
		var err error
		if out, err = appendRow(s, e); err != nil {
			return nil, err
		}
	} else {
		eol := textfile.LineBreak(s.Text)
		out = bytes.TrimRight(s.Text, " \t\r\n")
		out = append(slices.Clip(out), eol+eol...)
		var entry tomltext.Writer
		writeEntry(&entry, e)
		out = append(out, bytes.ReplaceAll(entry.Bytes(), []byte("\n"), []byte(eol))...)
	}
	out = keepMark(src, out)
	if _, err := unlimited.Bank(name, out); err != nil {
		return nil, err
	}
	return out, nil
}

// unlimited reads what the caller has read already.
var unlimited = Loader{MaxBytes: math.MaxInt, MaxEntries: math.MaxInt}

func editBank(name string, src []byte, edits []textfile.Edit) ([]byte, error) {
	if _, err := unlimited.Bank(name, src); err != nil {
		return nil, err
	}
	s, kind := unlimited.open(name, src)
	var text []byte
	var err error
	if kind == commaSeparated {
		text, err = csvtext.Set(s, edits)
	} else {
		text, err = tomltext.Set(s, edits)
	}
	if err != nil {
		return nil, err
	}
	text = keepMark(src, text)
	if _, err = unlimited.Bank(name, text); err != nil {
		return nil, err
	}
	return text, nil
}

// keepMark puts a byte-order mark back where the file had one.
func keepMark(src, text []byte) []byte {
	if bytes.HasPrefix(src, textfile.ByteOrderMark) {
		return slices.Concat(textfile.ByteOrderMark, text)
	}
	return text
}
