package vocabulary

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAWrongKeyIsUnderstood(t *testing.T) {
	for written, want := range map[string]string{
		"id": "id", "ID": "id", "Rhythm": "rhythm", "rythm": "rhythm", "rhytm": "rhythm",
		"rythem": "rhythm", "metre": "meter", "bpm": "tempo", "title": "name", "tag": "tags",
		"teir": "tier", "Tempos": "tempo", "note": "notes",
	} {
		got, ok := Meant(written, PhraseKeys)
		assert.True(t, ok, written)
		assert.Equal(t, want, got, written)
	}
	for _, written := range []string{"", "x", "colour", "author", "pi", strings.Repeat("tempo", 100)} {
		_, ok := Meant(written, PhraseKeys)
		assert.False(t, ok, written)
	}
	_, ok := Meant("rhythm", PieceKeys)
	assert.False(t, ok, "a piece has no rhythm of its own")
}
