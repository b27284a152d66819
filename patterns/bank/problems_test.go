package bank

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"clapladder.example/patterns/internal/golden"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What people see for each way in which a file can be broken: the line of other commands, then all
// problems in full.
func TestEveryBrokenFileIsExplained(t *testing.T) {
	load := map[string]func(string, []byte) error{
		"bank": func(name string, data []byte) error { _, err := Load(name, data); return err },
		"repertoire": func(name string, data []byte) error {
			_,
				err := LoadRepertoire(name, data)
			return err
		},
	}
	for kind, load := range load {
		paths, err := filepath.Glob(filepath.Join("testdata", "problems", kind, "*"))
		require.NoError(t, err)
		require.NotEmpty(t, paths)
		for _, path := range paths {
			if strings.HasSuffix(path, ".golden") {
				continue
			}
			name := filepath.Base(path)
			t.Run(kind+"/"+name, func(t *testing.T) {
				data, err := os.ReadFile(path)
				require.NoError(t, err)
				err = load(name, data)
				var fileError *FileError
				require.ErrorAs(t, err, &fileError)
				assert.NotContains(t, err.Error(), "\n", "one line")
				text := err.Error() + "\n"
				for _, p := range fileError.Problems {
					text += "\n" + p.Detail(fileError.Name)
				}
				golden.Compare(t, filepath.Join("problems", kind, name+".golden"), text)
			})
		}
	}
}

func TestProblemsComeInTheOrderOfTheFile(t *testing.T) {
	data, err := os.ReadFile("testdata/problems/bank/many_at_once.toml")
	require.NoError(t, err)
	_, err = Load("bank.toml", data)
	fileError, ok := errors.AsType[*FileError](err)
	require.True(t, ok)
	require.Greater(t, len(fileError.Problems), 15)
	for i, p := range fileError.Problems[1:] {
		before := fileError.Problems[i]
		assert.True(t, before.Line < p.Line || before.Line == p.Line && before.Column <= p.Column,
			"%v before %v", before, p)
	}
}

func TestOneLineForOtherCommands(t *testing.T) {
	first := Problem{Line: 3, Column: 7, Message: "bar 1 has 3 beats", Advice: "write four"}
	for want, e := range map[string]FileError{
		"bank.toml, line 3, column 7: bar 1 has 3 beats; write four":                      {"bank.toml", []Problem{first}},
		"bank.toml, line 3, column 7: bar 1 has 3 beats; write four (1 more problem)":     {"bank.toml", []Problem{first, first}},
		"my bank.toml, line 3, column 7: bar 1 has 3 beats; write four (2 more problems)": {"my bank.toml", []Problem{first, first, first}},
		"line 3, column 7: bar 1 has 3 beats; write four (1 more problem)": {
			"",
			[]Problem{first, first},
		},
		"bank.toml: the bank has no phrase": {"bank.toml", []Problem{{Message: "the bank has no phrase"}}},
		"the bank has no phrase": {
			"",
			[]Problem{{Message: "the bank has no phrase"}},
		},
	} {
		assert.Equal(t, want, e.Error())
	}
	assert.Equal(t, "line 3, column 7: bar 1 has 3 beats; write four", where("", first)+first.sentence())
}
