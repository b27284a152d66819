package settings

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheEnvironmentWinsOverTheFile(t *testing.T) {
	file, err := Parse("/home/x/settings.toml",
		[]byte("bank = 'mine.toml' # my own\ncomfort = 0.8\nrepertoire = 'starter'\n"))
	require.NoError(t, err)
	env := map[string]string{"CLAPLADDER_BANK": "other.toml", "CLAPLADDER_RECORDINGS": "/phone"}
	got, err := Merge(file, func(key string) string { return env[key] })
	require.NoError(t, err)
	assert.Equal(t, Settings{
		Bank:       {"other.toml", "CLAPLADDER_BANK"},
		Recordings: {"/phone", "CLAPLADDER_RECORDINGS"},
		Comfort:    {"0.8", "/home/x/settings.toml"},
		Repertoire: {"starter", "/home/x/settings.toml"},
	}, got)
	share, ok := got.Share()
	assert.True(t, ok)
	assert.Equal(t, 0.8, share)
}

func TestPathsOfTheFileAreTakenFromItsFolder(t *testing.T) {
	file, err := Parse(filepath.Join("/home/x", "settings.toml"),
		[]byte("bank = 'mine.toml'\nhistory = '/data/log.jsonl'\n"))
	require.NoError(t, err)
	assert.Equal(t, filepath.Join("/home/x", "mine.toml"), file.Of(Bank))
	assert.Equal(t, "/data/log.jsonl", file.Of(History))
}

func TestWhatCannotBeUsedSaysWhereAndWhatToWrite(t *testing.T) {
	for text, want := range map[string]string{
		"bnak = 'x'\n":              `s.toml, line 1: there is no setting "bnak"; settings are bank, repertoire, history, comfort, recordings`,
		"\nbank = \n":               "s.toml, line 2: this can't be read",
		"bank = 7\n":                "s.toml, line 1: this can't be read",
		"bank = 'x'\ncomfort = 7\n": "s.toml, line 2: comfort is 7; write a share from 0.5 to 0.95",
		"bank = ''\n":               "s.toml, line 1: bank names no file",
		"comfort = nan\n":           "s.toml, line 1: comfort is NaN",
		"bank = 'a'\nbank = 'b'\n":  "s.toml, line 2: this can't be read",
	} {
		_, err := Parse("s.toml", []byte(text))
		assert.ErrorContains(t, err, want, text)
	}
	_, err := Merge(nil, func(key string) string { return map[string]string{"CLAPLADDER_COMFORT": "much"}[key] })
	assert.EqualError(t, err, "CLAPLADDER_COMFORT: comfort is much; write a share from 0.5 to 0.95")
}

func TestSettingLeavesOtherLinesAlone(t *testing.T) {
	old := "# mine\nbank = 'a.toml'\n\ncomfort = 0.8 # kind\n"
	for _, test := range []struct {
		name  Name
		value string
		want  string
	}{
		{Bank, "/b's.toml", "# mine\nbank = \"/b's.toml\"\n\ncomfort = 0.8 # kind\n"},
		{Bank, "", "# mine\n\ncomfort = 0.8 # kind\n"},
		{Comfort, "0.6", "# mine\nbank = 'a.toml'\n\ncomfort = 0.6\n"},
		{History, `C:\log.jsonl`, old + "history = 'C:\\log.jsonl'\n"},
		{History, "", old},
	} {
		got, err := Set("s.toml", []byte(old), test.name, test.value)
		require.NoError(t, err)
		assert.Equal(t, test.want, string(got))
	}
	_, err := Set("s.toml", []byte("bnak = 1\n"), Bank, "x")
	assert.Error(t, err, "a file that can't be read is not written to")
	_, err = Set("s.toml", nil, Comfort, "2")
	assert.Error(t, err)
}

func TestTheFileLiesWhereTheSystemKeepsConfiguration(t *testing.T) {
	for _, test := range []struct {
		system string
		env    map[string]string
		want   string
	}{
		{"linux", map[string]string{"HOME": "/h"}, "/h/.config/clapladder/settings.toml"},
		{"linux", map[string]string{"HOME": "/h", "XDG_CONFIG_HOME": "/c"}, "/c/clapladder/settings.toml"},
		{
			"linux",
			map[string]string{"HOME": "/h", "XDG_CONFIG_HOME": "relative"},
			"/h/.config/clapladder/settings.toml",
		},
		{
			"darwin",
			map[string]string{"HOME": "/h"},
			"/h/Library/Application Support/clapladder/settings.toml",
		},
		{"windows", map[string]string{"AppData": "/a"}, "/a/clapladder/settings.toml"},
		{"windows", nil, ""},
		{"linux", nil, ""},
	} {
		assert.Equal(t, filepath.FromSlash(test.want),
			Path(test.system, func(key string) string { return test.env[key] }))
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"bank = 'a.toml'\ncomfort = 0.8\n", "bank = \"\"\"\na\"\"\"",
		"# x\r\nhistory='y'", "bank = 'a'\nbank = 'b'", "\xef\xbb\xbfbank='x'", "[bank]\nx=1",
	} {
		f.Add([]byte(seed), "/new's\\file.toml")
	}
	f.Fuzz(func(t *testing.T, data []byte, value string) {
		s, err := Parse("/s.toml", data)
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		for n := range s {
			assert.NotEmpty(t, s.Of(n))
		}
		for _, n := range Names() {
			text, err := Set("/s.toml", data, n, value)
			if err != nil || value == "" {
				continue
			}
			again, err := Parse("/s.toml", text)
			require.NoError(t, err, "what was set can be read")
			for _, other := range Names() {
				if other != n {
					assert.Equal(t, s[other], again[other], "other settings stay")
				}
			}
		}
	})
}
