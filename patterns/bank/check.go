package bank

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/tomltext"
	"clapladder.example/patterns/internal/vocabulary"
)

// The longest texts of a file, in characters.
const (
	maxName  = 200
	maxNotes = 4000
	maxTag   = 60
	maxTags  = 50
)

// Limits of what learning writes.
const (
	minSD     = 0.05 // tiers
	maxSD     = 5.0  // tiers
	maxGroups = 100_000
)

// checker turns the fields of tables into values and notes what is wrong with them.
type checker struct {
	source *textfile.Source
	cells  bool // the tables are rows of a CSV file
}

// keys notes unknown keys. Where one clearly stands for a known key that is not given, its value is
// checked as that.
func (c *checker) keys(t *textfile.Table, noun string, known []string) {
	for i, f := range t.Fields {
		key, meant := vocabulary.Meant(f.Key, known)
		if key == f.Key {
			continue
		}
		words := strings.Join(vocabulary.ForPeople(known), ", ")
		advice := "write one of " + words + ", or take it out"
		if meant {
			advice = "write " + key
		} else if noun == "piece" && f.Key == "rhythm" || f.Key == "role" {
			advice = "write it below [[piece.part]]"
		}
		c.source.Fail(f.At, fmt.Sprintf("a %s has no key %q", noun, textfile.Short(f.Key)), advice)
		if _, given := t.Field(key); meant && !given {
			t.Fields[i].Key = key
		}
	}
}

// require notes which of the keys are missing.
func (c *checker) require(t *textfile.Table, noun string, keys ...string) {
	var missing, examples []string
	for _, key := range keys {
		f, given := t.Field(key)
		empty := given && (f.Value.Kind == textfile.Text || f.Value.Kind == textfile.Cell) &&
			strings.TrimSpace(f.Value.Text) == ""
		switch {
		case t.Lost[key] || given && !empty:
		case c.cells && given:
			c.source.Fail(f.Value.Start, "the row has no "+key, "fill in the column "+key)
		case given:
			c.source.Fail(f.Value.Start, key+" is empty",
				"write "+key+" = "+tomltext.ValueFor(key, ""))
		default:
			missing = append(missing, key)
			examples = append(examples, key+" = "+tomltext.ValueFor(key, ""))
		}
	}
	switch {
	case missing == nil:
	case c.cells:
		c.source.Fail(t.At, "the row has no "+inWords(missing),
			"fill in the column "+inWords(missing))
	default:
		advice := "write " + inWords(examples) + " below it"
		if len(examples) > 1 {
			advice += ", each on its own line"
		}
		c.source.Fail(t.At, "the "+noun+" has no "+inWords(missing), advice)
	}
}

// inWords is "a", "a and b", "a, b and c".
func inWords(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// text is the value of a key that holds text; ok is false where it is not given, empty or of
// another type, which is noted.
func (c *checker) text(t *textfile.Table, key string) (v textfile.Value, ok bool) {
	f, given := t.Field(key)
	if !given {
		return textfile.Value{}, false
	}
	v = f.Value
	if v.Kind != textfile.Text && v.Kind != textfile.Cell {
		advice := "write " + key + " = " + tomltext.ValueFor(key, v.Text)
		c.source.Fail(v.Start, key+" is "+v.Kind.Words()+", not a text", advice)
		t.Lose(key)
		return v, false
	}
	return v, strings.TrimSpace(v.Text) != ""
}

// line is a text of at most most characters without control characters; line breaks are allowed
// where lines is set.
func (c *checker) line(t *textfile.Table, key string, most int, lines bool) string {
	v, ok := c.text(t, key)
	if !ok {
		return ""
	}
	text := strings.TrimSpace(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(v.Text))
	if n := len([]rune(text)); n > most {
		c.source.Fail(v.Start, fmt.Sprintf("%s has %d characters", key, n),
			fmt.Sprintf("write at most %d", most))
		return ""
	}
	if i := badCharacter(v.Text, lines); i >= 0 {
		c.source.Fail(c.offset(v, i), key+" holds a character that can't be shown", "take it out")
		return ""
	}
	return text
}

// badCharacter is the number of the first character that is not printable, or a line break where
// those are not allowed; -1 if there is none.
func badCharacter(text string, lines bool) int {
	i := 0
	for _, r := range text {
		if !unicode.IsPrint(r) && !unicode.Is(unicode.Zs, r) && !unicode.Is(unicode.Cf, r) &&
			!(lines && (r == '\n' || r == '\r' || r == '\t')) || unicode.Is(unicode.Bidi_Control, r) {
			return i
		}
		i++
	}
	return -1
}

// number reads a number between low and high, 0 where it is not given or wrong.
func (c *checker) number(t *textfile.Table, key string, low, high float64, whole bool) float64 {
	f, given := t.Field(key)
	if !given {
		return 0
	}
	v := f.Value
	text := strings.TrimSpace(v.Text)
	if v.Kind == textfile.Cell {
		if text == "" {
			return 0
		}
		if !strings.Contains(text, ".") {
			text = strings.Replace(text, ",", ".", 1) // 96,5 as many countries write it
		}
	}
	kind := "a number"
	if whole {
		kind = "a whole number"
	}
	advice := fmt.Sprintf("write %s from %s to %s", kind, textfile.Number(low),
		textfile.Number(high))
	n, err := strconv.ParseFloat(text, 64)
	if v.Kind == textfile.Whole {
		var i int64
		i, err = strconv.ParseInt(text, 0, 64)
		n = float64(i)
	}
	switch {
	case v.Kind == textfile.Text && err == nil:
		c.source.Fail(v.Start, key+" is a text, not a number",
			"write "+key+" = "+tomltext.ValueFor(key, v.Text)+", without quotes")
		return 0
	case v.Kind != textfile.Whole && v.Kind != textfile.Decimal && v.Kind != textfile.Cell:
		c.source.Fail(v.Start, key+" is "+v.Kind.Words()+", not a number", advice)
		return 0
	case err != nil && !errors.Is(err, strconv.ErrRange) || math.IsNaN(n):
		c.source.Fail(v.Start, fmt.Sprintf("%s %q is not a number", key, textfile.Short(text)),
			advice)
		return 0
	case err != nil || n < low || n > high:
		c.source.Fail(v.Start, fmt.Sprintf("%s %s is out of range", key, textfile.Short(text)),
			advice)
		return 0
	case whole && (n != math.Trunc(n) || v.Kind == textfile.Decimal):
		c.source.Fail(v.Start,
			fmt.Sprintf("%s %s is not a whole number", key, textfile.Short(text)), advice)
		return 0
	}
	return n
}

// tags reads a list of words, or a cell with words separated by commas or semicolons.
func (c *checker) tags(t *textfile.Table) []string {
	f, given := t.Field("tags")
	if !given {
		return nil
	}
	v := f.Value
	elements := v.List
	switch v.Kind {
	case textfile.List:
	case textfile.Cell:
		between := func(r rune) bool { return r == ',' || r == ';' }
		for text := range strings.FieldsFuncSeq(v.Text, between) {
			elements = append(elements,
				textfile.Value{Kind: textfile.Text, Text: text, Start: v.Start, End: v.End})
		}
	default:
		c.source.Fail(v.Start, "tags is "+v.Kind.Words()+", not a list",
			"write tags = "+tomltext.ValueFor("tags", v.Text))
		return nil
	}
	if len(elements) > maxTags {
		c.source.Fail(v.Start, fmt.Sprintf("%d tags", len(elements)),
			fmt.Sprintf("write at most %d", maxTags))
		return nil
	}
	var tags []string
	for _, e := range elements {
		tag := strings.TrimSpace(e.Text)
		switch {
		case e.Kind != textfile.Text:
			c.source.Fail(e.Start, "a tag is "+e.Kind.Words()+", not a text",
				"write "+tomltext.Quote(textfile.Short(tag)))
		case tag == "" && v.Kind == textfile.Cell:
		case tag == "":
			c.source.Fail(e.Start, "an empty tag", "take it out")
		case len([]rune(tag)) > maxTag || strings.ContainsAny(tag, ",;") || badCharacter(tag, false) >= 0:
			c.source.Fail(e.Start, fmt.Sprintf("%q can't be a tag", textfile.Short(tag)),
				fmt.Sprintf("write a few words without comma and semicolon, at most %d characters",
					maxTag))
		default:
			tags = append(tags, tag)
		}
	}
	return tags
}
