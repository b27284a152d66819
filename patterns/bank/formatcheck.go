package bank

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
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
	source *source
	cells  bool // the tables are rows of a CSV file
}

// keys notes unknown keys. Where one clearly stands for a known key that is not given, its value is
// checked as that.
func (c *checker) keys(t *table, noun string, known []string) {
	for i, f := range t.fields {
		key, meant := meantKey(f.key, known)
		if key == f.key {
			continue
		}
		advice := "write one of " + strings.Join(forPeople(known), ", ") + ", or take it out"
		if meant {
			advice = "write " + key
		} else if noun == "piece" && f.key == "rhythm" || f.key == "role" {
			advice = "write it below [[piece.part]]"
		}
		c.source.fail(f.at, fmt.Sprintf("a %s has no key %q", noun, cut(f.key)), advice)
		if _, given := t.field(key); meant && !given {
			t.fields[i].key = key
		}
	}
}

// require notes which of the keys are missing.
func (c *checker) require(t *table, noun string, keys ...string) {
	var missing, examples []string
	for _, key := range keys {
		f, given := t.field(key)
		empty := given && (f.value.kind == textValue || f.value.kind == cellValue) &&
			strings.TrimSpace(f.value.text) == ""
		switch {
		case t.lost[key] || given && !empty:
		case c.cells && given:
			c.source.fail(f.value.start, "the row has no "+key, "fill in the column "+key)
		case given:
			c.source.fail(f.value.start, key+" is empty", "write "+key+" = "+tomlValueFor(key, ""))
		default:
			missing, examples = append(missing, key), append(examples, key+" = "+tomlValueFor(key, ""))
		}
	}
	switch {
	case missing == nil:
	case c.cells:
		c.source.fail(t.at, "the row has no "+inWords(missing), "fill in the column "+inWords(missing))
	default:
		advice := "write " + inWords(examples) + " below it"
		if len(examples) > 1 {
			advice += ", each on its own line"
		}
		c.source.fail(t.at, "the "+noun+" has no "+inWords(missing), advice)
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
func (c *checker) text(t *table, key string) (v value, ok bool) {
	f, given := t.field(key)
	if !given {
		return value{}, false
	}
	v = f.value
	if v.kind != textValue && v.kind != cellValue {
		advice := "write " + key + " = " + tomlValueFor(key, v.text)
		c.source.fail(v.start, key+" is "+v.kind.words()+", not a text", advice)
		t.lose(key)
		return v, false
	}
	return v, strings.TrimSpace(v.text) != ""
}

func (k valueKind) words() string {
	return [...]string{
		"a text", "a number", "a number", "true or false", "a date or a time",
		"a list", "a table", "a cell",
	}[k]
}

// line is a text of at most most characters without control characters; line breaks are allowed
// where lines is set.
func (c *checker) line(t *table, key string, most int, lines bool) string {
	v, ok := c.text(t, key)
	if !ok {
		return ""
	}
	text := strings.TrimSpace(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(v.text))
	if n := len([]rune(text)); n > most {
		c.source.fail(v.start, fmt.Sprintf("%s has %d characters", key, n),
			fmt.Sprintf("write at most %d", most))
		return ""
	}
	if i := badCharacter(v.text, lines); i >= 0 {
		c.source.fail(c.offset(v, i), key+" holds a character that can't be shown", "take it out")
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

// id reads a key that holds one short word.
func (c *checker) id(t *table, noun string, taken map[string]int) string {
	v, ok := c.text(t, "id")
	if !ok {
		return ""
	}
	id := strings.TrimSpace(v.text)
	if !validID(id) {
		c.source.fail(v.start, fmt.Sprintf("id %q is not one short word", cut(id)),
			fmt.Sprintf("write letters, digits and hyphens, at most %d, for example %s", maxID,
				quoteTOML(idFrom(id))))
		return id
	}
	line := c.source.lineAt(v.start)
	if first, dup := taken[strings.ToLower(id)]; dup {
		c.source.fail(v.start, fmt.Sprintf("id %q is taken by the %s on line %d", id, noun, first),
			"write another one, for example "+quoteTOML(freeID(id, taken)))
		return id
	}
	taken[strings.ToLower(id)] = line
	return id
}

// freeID is id with the lowest number behind it that is not taken.
func freeID(id string, taken map[string]int) string {
	for n := 2; ; n++ {
		free := fmt.Sprintf("%s-%d", id, n)
		if _, dup := taken[strings.ToLower(free)]; !dup {
			return free
		}
	}
}

// number reads a number between low and high, 0 where it is not given or wrong.
func (c *checker) number(t *table, key string, low, high float64, whole bool) float64 {
	f, given := t.field(key)
	if !given {
		return 0
	}
	v := f.value
	text := strings.TrimSpace(v.text)
	if v.kind == cellValue {
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
	advice := fmt.Sprintf("write %s from %s to %s", kind, formatNumber(low), formatNumber(high))
	n, err := strconv.ParseFloat(text, 64)
	if v.kind == wholeValue {
		var i int64
		i, err = strconv.ParseInt(text, 0, 64)
		n = float64(i)
	}
	switch {
	case v.kind == textValue && err == nil:
		c.source.fail(v.start, key+" is a text, not a number",
			"write "+key+" = "+tomlValueFor(key, v.text)+", without quotes")
		return 0
	case v.kind != wholeValue && v.kind != numberValue && v.kind != cellValue:
		c.source.fail(v.start, key+" is "+v.kind.words()+", not a number", advice)
		return 0
	case err != nil && !errors.Is(err, strconv.ErrRange) || math.IsNaN(n):
		c.source.fail(v.start, fmt.Sprintf("%s %q is not a number", key, cut(text)), advice)
		return 0
	case err != nil || n < low || n > high:
		c.source.fail(v.start, fmt.Sprintf("%s %s is out of range", key, cut(text)), advice)
		return 0
	case whole && (n != math.Trunc(n) || v.kind == numberValue):
		c.source.fail(v.start, fmt.Sprintf("%s %s is not a whole number", key, cut(text)), advice)
		return 0
	}
	return n
}

// tags reads a list of words, or a cell with words separated by commas or semicolons.
func (c *checker) tags(t *table) []string {
	f, given := t.field("tags")
	if !given {
		return nil
	}
	v := f.value
	elements := v.list
	switch v.kind {
	case listValue:
	case cellValue:
		for text := range strings.FieldsFuncSeq(v.text, func(r rune) bool { return r == ',' || r == ';' }) {
			elements = append(elements, value{kind: textValue, text: text, start: v.start, end: v.end})
		}
	default:
		c.source.fail(v.start, "tags is "+v.kind.words()+", not a list",
			"write tags = "+tomlValueFor("tags", v.text))
		return nil
	}
	if len(elements) > maxTags {
		c.source.fail(v.start, fmt.Sprintf("%d tags", len(elements)),
			fmt.Sprintf("write at most %d", maxTags))
		return nil
	}
	var tags []string
	for _, e := range elements {
		tag := strings.TrimSpace(e.text)
		switch {
		case e.kind != textValue:
			c.source.fail(e.start, "a tag is "+e.kind.words()+", not a text", "write "+quoteTOML(cut(tag)))
		case tag == "" && v.kind == cellValue:
		case tag == "":
			c.source.fail(e.start, "an empty tag", "take it out")
		case len([]rune(tag)) > maxTag || strings.ContainsAny(tag, ",;") || badCharacter(tag, false) >= 0:
			c.source.fail(e.start, fmt.Sprintf("%q can't be a tag", cut(tag)),
				fmt.Sprintf("write a few words without comma and semicolon, at most %d characters", maxTag))
		default:
			tags = append(tags, tag)
		}
	}
	return tags
}

func formatNumber(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }
