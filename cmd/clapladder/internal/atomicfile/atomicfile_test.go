package atomicfile

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

func alone(t *testing.T, path string) {
	t.Helper()
	files, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Len(t, files, 1, "no temporary file is left")
}

func TestANewFileIsWritten(t *testing.T) {
	for _, mode := range []Mode{KeepExisting, Replace} {
		path := filepath.Join(t.TempDir(), "card.svg")
		require.NoError(t, Write(path, mode, text("new")))
		assert.Equal(t, "new", read(t, path))
		alone(t, path)
	}
}

func TestAnExistingFileIsKeptUnlessReplaced(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bank.toml")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
	require.ErrorIs(t, Write(path, KeepExisting, text("new")), ErrExists)
	assert.Equal(t, "old", read(t, path))
	require.NoError(t, Write(path, Replace, text("new")))
	assert.Equal(t, "new", read(t, path))
	if runtime.GOOS != "windows" {
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "permissions stay")
	}
	alone(t, path)
}

func TestAFailureLeavesTheOldFileAndNothingElse(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bank.toml")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o644))
	broken := errors.New("broken")
	err := Write(path, Replace, func(w io.Writer) error {
		io.WriteString(w, "half")
		return broken
	})
	require.ErrorIs(t, err, broken)
	assert.Equal(t, "old", read(t, path))
	alone(t, path)
}

func TestALinkIsFollowed(t *testing.T) {
	folder := t.TempDir()
	target, link := filepath.Join(folder, "real.toml"), filepath.Join(folder, "link.toml")
	require.NoError(t, os.WriteFile(target, []byte("old"), 0o644))
	if err := os.Symlink(target, link); err != nil {
		t.Skip("no symbolic links here")
	}
	require.NoError(t, Write(link, Replace, text("new")))
	assert.Equal(t, "new", read(t, target))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink)
}

func TestAFolderIsNoFile(t *testing.T) {
	folder := t.TempDir()
	assert.ErrorContains(t, Write(folder, Replace, text("new")), "it is a folder")
	err := Write(filepath.Join(folder, "none", "x"), Replace, text("new"))
	assert.ErrorContains(t, err, filepath.Join("none", "x")+": ")
	assert.NotContains(t, err.Error(), ".x.", "the temporary name means nothing to people")
}

func TestALinkThatLeadsToItselfIsRefusedAndStays(t *testing.T) {
	link := filepath.Join(t.TempDir(), "page.html")
	if err := os.Symlink("page.html", link); err != nil {
		t.Skip("this system makes no links here")
	}
	err := Write(link, Replace, func(w io.Writer) error {
		_, err := io.WriteString(w, "ebb")
		return err
	})
	require.Error(t, err)
	target, err := os.Readlink(link)
	require.NoError(t, err)
	assert.Equal(t, "page.html", target)
	left, err := os.ReadDir(filepath.Dir(link))
	require.NoError(t, err)
	assert.Len(t, left, 1, "nothing is left behind")
}
