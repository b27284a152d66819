package tomltext

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
	"clapladder.example/rhythm"
)

// ValueFor is what to write as the value of a key where the file has the given text instead.
func ValueFor(key, text string) string {
	example := map[string]string{
		"id": "gangway", "name": "Down the gangway", "meter": "4/4",
		"rhythm": "x x xx x", "role": "core", "notes": "Say it first.",
	}[key]
	text = strings.TrimSpace(text)
	text = strings.TrimSpace(strings.TrimLeft(text, "=:"))
	if i := strings.Index(text, " #"); i >= 0 {
		text = strings.TrimSpace(text[:i])
	}
	if vocabulary.NumberKeys[key] != "" {
		number := strings.ReplaceAll(strings.Trim(text, `"'`), ",", ".")
		number = strings.TrimLeft(number, "0 ")
		if i := strings.IndexFunc(number, func(r rune) bool {
			return r != '.' &&
				(r < '0' || r > '9')
		}); i >= 0 {
			number = number[:i]
		}
		if f, err := strconv.ParseFloat(number, 64); err == nil && f > 0 && f < 1e6 {
			if key == "tier" || key == "learned_from" {
				return fmt.Sprintf("%.0f", f)
			}
			return textfile.Number(f)
		}
		return vocabulary.NumberKeys[key]
	}
	if key == "tags" {
		var tags []string
		between := func(r rune) bool { return strings.ContainsRune(`[]{},;"'`, r) }
		for tag := range strings.FieldsFuncSeq(text, between) {
			if tag = strings.TrimSpace(tag); tag != "" {
				tags = append(tags, Quote(textfile.Short(tag)))
			}
		}
		if tags == nil {
			tags = []string{`"opener"`}
		}
		return "[" + strings.Join(tags, ", ") + "]"
	}
	text = strings.TrimSpace(strings.Trim(text, `"'`))
	_, badMeter := rhythm.ParseMeter(text)
	if text == "" || key == "meter" && badMeter != nil ||
		key == "role" && !slices.Contains(vocabulary.Roles, text) {
		text = example
	}
	return Quote(textfile.Short(text))
}
