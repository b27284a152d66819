package bank

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/tomltext"
	"clapladder.example/patterns/internal/vocabulary"
)

// maxID is the most characters of an id.
const maxID = 40

// validID reports whether text is one short word: letters, digits, - and _, beginning with a letter
// or digit.
func validID(text string) bool {
	runes := []rune(text)
	if len(runes) == 0 || len(runes) > maxID || runes[0] == '-' || runes[0] == '_' {
		return false
	}
	return !slices.ContainsFunc(runes, func(r rune) bool { return !vocabulary.IsWord(r) })
}

// idFrom makes an id from a text in plain words.
func idFrom(text string) string {
	words := strings.FieldsFunc(strings.ToLower(text),
		func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	id := ""
	for _, word := range words {
		if id != "" && len([]rune(id+"-"+word)) > maxID {
			break
		}
		if id != "" {
			id += "-"
		}
		id += word
	}
	if !validID(id) {
		return "gangway"
	}
	return id
}

// id reads a key that holds one short word.
func (c *checker) id(t *textfile.Table, noun string, taken map[string]int) string {
	v, ok := c.text(t, "id")
	if !ok {
		return ""
	}
	id := strings.TrimSpace(v.Text)
	if !validID(id) {
		c.source.Fail(v.Start, fmt.Sprintf("id %q is not one short word", textfile.Short(id)),
			fmt.Sprintf("write letters, digits and hyphens, at most %d, for example %s", maxID,
				tomltext.Quote(idFrom(id))))
		return id
	}
	line := c.source.LineAt(v.Start)
	if first, dup := taken[strings.ToLower(id)]; dup {
		c.source.Fail(v.Start, fmt.Sprintf("id %q is taken by the %s on line %d", id, noun, first),
			"write another one, for example "+tomltext.Quote(freeID(id, taken)))
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
