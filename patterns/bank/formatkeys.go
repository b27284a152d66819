package bank

import (
	"slices"
	"strings"
	"unicode"
)

// The keys of a bank and of a repertoire, in the order in which they are written.
var (
	phraseKeys = []string{
		"id", "name", "meter", "tempo", "rhythm", "tier", "difficulty", "difficulty_sd", "learned_from",
		"tags", "notes",
	}
	pieceKeys = []string{"id", "name", "meter", "tempo", "tier", "tags", "notes"}
	partKeys  = []string{"name", "role", "meter", "tempo", "rhythm"}
	allKeys   = append(slices.Clone(phraseKeys), "role", "part")

	// numberKeys have a number as their value, each with an example.
	numberKeys = map[string]string{
		"tier": "2", "tempo": "96", "difficulty": "2.5", "difficulty_sd": "0.4", "learned_from": "6",
	}
)

// forPeople are the keys that people write themselves; the rest is what learning writes.
func forPeople(keys []string) []string {
	return slices.DeleteFunc(slices.Clone(keys), func(key string) bool {
		return key == "difficulty_sd" || key == "learned_from"
	})
}

// otherWords are what people write for a key.
var otherWords = map[string]string{
	"metre": "meter", "time": "meter", "signature": "meter", "time_signature": "meter",
	"timesignature": "meter", "takt": "meter",
	"bpm": "tempo", "speed": "tempo",
	"pattern": "rhythm", "notation": "rhythm", "boxes": "rhythm", "claps": "rhythm", "beats": "rhythm",
	"title": "name", "words": "name", "label": "name", "key": "id", "code": "id",
	"level": "tier", "grade": "tier", "step": "tier",
	"tag": "tags", "keywords": "tags", "topics": "tags", "category": "tags",
	"note": "notes", "comment": "notes", "comments": "notes", "remarks": "notes", "description": "notes",
	"voice": "part", "parts": "part",
}

// meantKey finds the key among known that a written one stands for: itself, in another case, under
// another word, or with a slip of the pen. ok is false where there is none.
func meantKey(written string, known []string) (key string, ok bool) {
	lower := strings.ToLower(strings.TrimSpace(written))
	if slices.Contains(known, lower) {
		return lower, true
	}
	if other := otherWords[lower]; slices.Contains(known, other) {
		return other, true
	}
	return nearest(lower, known)
}

// nearest is the known word with the fewest slips of the pen from the written one, at most two and
// at most a third of it.
func nearest(written string, known []string) (word string, ok bool) {
	if len(written) > 40 {
		return "", false
	}
	best := min(2, len(written)/3) + 1
	for _, candidate := range known {
		if d := Slips(written, candidate); d < best {
			word, best = candidate, d
		}
	}
	return word, word != ""
}

func isWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' || r == '-' }

// maxID is the most characters of an id.
const maxID = 40

// validID reports whether text is one short word: letters, digits, - and _, beginning with a letter
// or digit.
func validID(text string) bool {
	runes := []rune(text)
	if len(runes) == 0 || len(runes) > maxID || runes[0] == '-' || runes[0] == '_' {
		return false
	}
	return !slices.ContainsFunc(runes, func(r rune) bool { return !isWord(r) })
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
