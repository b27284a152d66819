// Package vocabulary is the words of banks and repertoires: their keys, which are the columns of
// sheets too, and what people write in their place.
package vocabulary

import (
	"slices"
	"strings"
	"unicode"
)

// The keys of a bank and of a repertoire, in the order in which they are written.
var (
	PhraseKeys = []string{
		"id", "name", "meter", "tempo", "rhythm", "tier", "difficulty", "difficulty_sd", "learned_from",
		"tags", "notes",
	}
	PieceKeys = []string{"id", "name", "meter", "tempo", "tier", "tags", "notes"}
	PartKeys  = []string{"name", "role", "meter", "tempo", "rhythm"}
	AllKeys   = append(slices.Clone(PhraseKeys), "role", "part")

	// Roles are the values of "role".
	Roles = []string{"core", "support", "lead"}

	// NumberKeys have a number as their value, each with an example.
	NumberKeys = map[string]string{
		"tier": "2", "tempo": "96", "difficulty": "2.5", "difficulty_sd": "0.4", "learned_from": "6",
	}
)

// ForPeople are the keys that people write themselves; the rest is what learning writes.
func ForPeople(keys []string) []string {
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

// Meant finds the key among known that a written one stands for: itself, in another case, under
// another word, or with a slip of the pen. ok is false where there is none.
func Meant(written string, known []string) (key string, ok bool) {
	lower := strings.ToLower(strings.TrimSpace(written))
	if slices.Contains(known, lower) {
		return lower, true
	}
	if other := otherWords[lower]; slices.Contains(known, other) {
		return other, true
	}
	return Nearest(lower, known)
}

// Nearest is the known word with the fewest slips of the pen from the written one, at most two and
// at most a third of it.
func Nearest(written string, known []string) (word string, ok bool) {
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

// IsWord reports whether a character may stand in a key or an id.
func IsWord(r rune) bool {
	return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' || r == '-'
}
