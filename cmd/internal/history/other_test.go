package history

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAFileThatIsNoLogIsLeftAsItIs(t *testing.T) {
	for name, text := range map[string]string{
		"a bank":          "[[phrase]]\nid = \"mast\"\n",
		"a table":         "round,role,time_s\n1,call,0.5\n",
		"a report":        `{"schema":"clapladder/report/1","group":{}}`,
		"a short text":    "{",
		"a text of digit": "7",
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "mine")
			require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
			err := Open(path).Append(t.Context(), record("Lunch clappers", 0))
			if name == "a short text" { // may be the first byte of a record, cut off
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, ErrNoHistory)
			_, err = Open(path).Forget(t.Context(), "Lunch clappers")
			require.ErrorIs(t, err, ErrNoHistory)
			same, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, text, string(same))
		})
	}
}

func TestZerosAndBlanksBeforeTheRecordsAreNoOtherFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history.jsonl")
	for _, text := range []string{
		"", "\n\n", strings.Repeat("\x00", 4096),
		strings.Repeat("\x00", 4096) + "\n",
	} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		require.NoError(t, Open(path).Append(t.Context(), record("Lunch clappers", 0)))
		assert.Equal(t, []string{"Lunch clappers"}, labels(read(t, Open(path))))
	}
}

func TestAFileOfNothingButDamageIsGivenUp(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history.jsonl")
	require.NoError(t, os.WriteFile(path, []byte(strings.Repeat("y\n", mostProblems+1)), 0o600))
	_, err := Open(path).Read(t.Context())
	require.ErrorIs(t, err, ErrNoHistory)
	require.NoError(t, os.WriteFile(path, []byte(strings.Repeat("y\n", mostProblems)), 0o600))
	assert.Len(t, read(t, Open(path)).Problems, mostProblems)
}

func TestADeviceIsNoHistory(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no device files")
	}
	_, err := Open("/dev/zero").Read(t.Context())
	require.ErrorIs(t, err, ErrNoHistory)
	require.ErrorIs(t, Open("/dev/zero").Append(t.Context(), record("Lunch clappers", 0)), ErrNoHistory)
	_, err = Open("/dev/zero").Forget(t.Context(), "Lunch clappers")
	require.ErrorIs(t, err, ErrNoHistory)
	assert.NoFileExists(t, "/dev/zero.lock")
}
