package console

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// kept is a file with a text.
func kept(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	return path
}

func TestProgressAppearsOnlyAfterAMomentAndGoesAway(t *testing.T) {
	path := kept(t, "long.wav", strings.Repeat("x", 1000))
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	var errs bytes.Buffer
	p := &progress{File: f, to: &errs, size: 1000, begun: time.Now()}
	part := make([]byte, 250)
	_, err = p.Read(part)
	require.NoError(t, err)
	assert.Empty(t, errs.String(), "nobody has waited yet")
	p.begun = p.begun.Add(-2 * patience)
	for range 2 {
		_, err = p.Read(part)
		require.NoError(t, err)
	}
	assert.Equal(t, "\rlistening: 50 %\rlistening: 75 %", errs.String())
	p.clear()
	assert.True(t, strings.HasSuffix(errs.String(),
		"\r"+strings.Repeat(" ", len("listening: 75 %"))+"\r"), "%q", errs.String())
	_, err = p.Seek(0, io.SeekStart)
	assert.NoError(t, err, "decoders can still seek")
}

func TestNoProgressWhereNobodyLooksOn(t *testing.T) {
	f, err := os.Open(kept(t, "a.wav", "x"))
	require.NoError(t, err)
	defer f.Close()
	quiet := &Console{}
	r, done := quiet.Watch(f)
	assert.Same(t, f, r)
	done()
	live := &Console{Live: true, Stderr: io.Discard}
	r, _ = live.Watch(strings.NewReader("piped"))
	assert.IsType(t, &strings.Reader{}, r)
	r, _ = live.Watch(f)
	assert.IsType(t, &progress{}, r)
}
