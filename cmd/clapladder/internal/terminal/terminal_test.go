package terminal

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/view"
)

func TestLocaleDecidesAboutUnicode(t *testing.T) {
	for _, test := range []struct {
		name, system string
		env          map[string]string
		want         bool
	}{
		{"UTF-8 language", "linux", map[string]string{"LANG": "de_DE.UTF-8"}, true},
		{"another spelling", "linux", map[string]string{"LANG": "C.utf8"}, true},
		{"nothing set", "linux", nil, false},
		{
			"the first that is set decides", "linux",
			map[string]string{"LC_ALL": "C", "LANG": "de_DE.UTF-8"},
			false,
		},
		{"LC_CTYPE before LANG", "linux", map[string]string{"LC_CTYPE": "en_GB.UTF-8", "LANG": "C"}, true},
		{"Latin 1", "linux", map[string]string{"LANG": "de_DE.ISO-8859-1"}, false},
		{"nothing set on Windows", "windows", nil, true},
		{"nothing set on macOS", "darwin", nil, true},
		{"plain C asked for on macOS", "darwin", map[string]string{"LC_ALL": "C"}, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, test.want, unicodeLocale(func(k string) string { return test.env[k] },
				test.system))
		})
	}
}

func TestAPipeHasNeitherColourNorWidth(t *testing.T) {
	env := func(string) string { return "en_GB.UTF-8" }
	assert.Equal(t, view.Style{Unicode: true}, StyleOf(&bytes.Buffer{}, env))
	assert.False(t, IsTerminal(&bytes.Buffer{}))
}
