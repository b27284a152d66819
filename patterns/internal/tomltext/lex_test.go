package tomltext

import (
	"testing"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The offsets are checked against the decoder of go-toml: each character of the decoded text must
// be written at its place.
func TestEveryCharacterOfATextHasItsPlace(t *testing.T) {
	for _, raw := range []string{
		`""`, `"plain"`, `"tab\tand \"quote\" and \\"`, `"\u00e9\U0001F44F\x41é"`, `''`, `'liter\al é'`,
		"\"\"\"\nlines\nand lines\"\"\"", "\"\"\"\r\nlines\r\nand\"\"\"", "'''\nlines\nand'''", "'''one'''", "\"\"\"join \\\n   \n  ed\"\"\"", `"""two quotes"""""`, `'''two quotes'''''`,
	} {
		var document map[string]string
		require.NoError(t, toml.Unmarshal([]byte("a = "+raw), &document), raw)
		offsets := Offsets([]byte(raw))
		text := document["a"]
		require.Len(t, offsets, utf8.RuneCountInString(text)+1, raw)
		i := 0
		for _, r := range text {
			at := offsets[i]
			if raw[at] != '\\' || raw[0] == '\'' {
				written, _ := utf8.DecodeRuneInString(raw[at:])
				assert.Equal(t, r, written, "%s at %d", raw, i)
			}
			i++
		}
	}
}
