package naming

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWhatCouldActOnATerminalIsWrittenOut(t *testing.T) {
	for text, want := range map[string]string{
		"ebb.wav": "ebb.wav", "Ünder the quay.wav": "Ünder the quay.wav",
		"a\x1b[31mb": `a\x1b[31mb`, "a\u202eb": `a\u202eb`, "a\xffb": `a\xffb`, "a\u0085b": `a\x85b`,
		"two\nlines": "two\nlines", "\ufffd": "\ufffd",
	} {
		assert.Equal(t, want, Harmless(text))
	}
}

func TestDidYouMeanKnowsSlipsOfTheFinger(t *testing.T) {
	names := []string{"gangway", "bell", "fog"}
	for written, want := range map[string]string{
		"gangwya": `; did you mean "gangway"?`,
		"Gangway": `; did you mean "gangway"?`,
		"gang":    `; did you mean "gangway"?`,
		"bel":     `; did you mean "bell"?`,
		"mast":    "",
		"":        "",
	} {
		assert.Equal(t, want, DidYouMean(written, names), written)
	}
}

func TestAWordIsQuotedForTheShellOnlyWhereItMustBe(t *testing.T) {
	for word, want := range map[string]string{
		"bank.toml": "bank.toml", "x x": "'x x'", "it's": `'it'\''s'`, "a|b": "'a|b'",
		"bank [2].toml": "'bank [2].toml'", "[2].toml": "'[2].toml'", "{tide}.toml": "'{tide}.toml'", "": "''",
		"~/ebb/bank-2.toml": "'~/ebb/bank-2.toml'", "C:\\ebb\\bank.toml": "C:\\ebb\\bank.toml",
	} {
		assert.Equal(t, want, ShellWord(word))
	}
}
