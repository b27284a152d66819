package history

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// CleanLabel puts a group's label into the form in which it is kept: composed
// letters, single spaces, no control characters.
func CleanLabel(label string) string {
	label = norm.NFC.String(strings.ToValidUTF8(label, "�"))
	label = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.IsControl(r) {
			return ' '
		}
		return r
	}, label)
	return strings.Join(strings.Fields(label), " ")
}

// SameGroup reports whether two labels mean one group: they are equal but for
// case and white space.
func SameGroup(a, b string) bool { return strings.EqualFold(CleanLabel(a), CleanLabel(b)) }

var (
	// Forms of address, and their commonest neighbours in other languages. From
	// memory.
	addressed = regexp.MustCompile(`(?i)^(mr|mrs|ms|miss|mx|dr|sir|herr|frau|` +
		`monsieur|madame|mme|señora?|signora?)\.?\s`)
	possessor = regexp.MustCompile(`^\p{Lu}\p{Ll}+['’]s\b`)

	// Words that groups are named by. From memory.
	groupWords = strings.Fields(`
		group class choir band team crew circle club course session workshop ensemble orchestra
		company office school college nursery camp lunch hour morning afternoon evening night day
		week year term monday tuesday wednesday thursday friday saturday sunday spring summer
		autumn winter january february march april june july august september october november
		december north south east west centre center hall yard boatyard harbour harbor quay dock
		pier room floor shift house street road town village beginners starters elders seniors
		juniors kids children adults parents staff drummers clappers players singers the a of and
		in at on for with`)
)

// LooksLikeName reports whether a label may be a person's name, and if so why, in
// a line for the leader. A label is for a group: people have not agreed to be in
// the log. It is a reminder and misses much: it sees a form of address, a
// possessive at the start, and two or three capitalised words of which none is a
// usual word for a group.
func LooksLikeName(label string) (why string, looks bool) {
	label = CleanLabel(label)
	switch {
	case addressed.MatchString(label):
		return "the label begins like a person's name; name the group by place and time instead", true
	case possessor.MatchString(label):
		return "the label seems to name a person; name the group by place and time instead", true
	}
	words := strings.Fields(label)
	if len(words) < 2 || len(words) > 3 {
		return "", false
	}
	for _, word := range words {
		if slices.Contains(groupWords, strings.ToLower(word)) || !nameShaped(word) {
			return "", false
		}
	}
	return "the label may be a person's name; if it is, name the group by place and time instead", true
}

// nameShaped reports whether a word is written as names are: a capital, then
// small letters; hyphens and apostrophes may part it; a single initial counts.
func nameShaped(word string) bool {
	word = strings.TrimSuffix(word, ".")
	parts := strings.FieldsFunc(word, func(r rune) bool { return r == '-' || r == '\'' || r == '’' })
	for _, part := range parts {
		for i, r := range part {
			if i == 0 && !unicode.IsUpper(r) || !unicode.IsLetter(r) {
				return false
			}
		}
		if len([]rune(part)) > 1 && strings.ToUpper(part) == part {
			return false // an acronym
		}
	}
	return len(parts) > 0
}
