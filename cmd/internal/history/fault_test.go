package history

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// killedAt makes a log whose program is stopped after so many bytes have reached
// the file: nothing that would come afterwards is done.
func killedAt(l *Log, bytesWritten int) *Log {
	left := bytesWritten
	broken := *l
	broken.put = func(f *os.File, data []byte) (int, error) {
		n := min(left, len(data))
		left -= n
		if _, err := f.Write(data[:n]); err != nil {
			return 0, err
		}
		if n < len(data) || left == 0 {
			panic(killed)
		}
		return n, nil
	}
	return &broken
}

const killed = "killed"

// untilKilled runs do and swallows the kill.
func untilKilled(t *testing.T, do func() error) {
	defer func() {
		if r := recover(); r != nil {
			require.Equal(t, killed, r)
		}
	}()
	require.NoError(t, do())
}

func TestKilledAtAnyByteOfAWriteOnlyThatRecordIsLost(t *testing.T) {
	first, torn, after := record("Lunch clappers", 0), record("Night tide", 1), record("Rope locker crew", 2)
	line, err := torn.Encode()
	require.NoError(t, err)
	start := newLog(t)
	appendAll(t, start, first)
	before, err := os.ReadFile(start.Path())
	require.NoError(t, err)

	for n := 0; n <= len(line); n++ {
		require.NoError(t, os.WriteFile(start.Path(), before, 0o600))
		untilKilled(t, func() error { return killedAt(start, n).Append(t.Context(), torn) })
		now, err := os.ReadFile(start.Path())
		require.NoError(t, err)
		require.True(t, bytes.HasPrefix(now, before), "byte %d: nothing earlier is touched", n)

		appendAll(t, start, after)
		c := read(t, start)
		want := []string{first.Group, after.Group}
		if n >= len(line)-1 { // all but the line break is a whole record
			want = []string{first.Group, torn.Group, after.Group}
		}
		require.Equal(t, want, labels(c), "byte %d", n)
		damaged := 0
		if n > 0 && n < len(line)-1 {
			damaged = 1
		}
		require.Len(t, c.Problems, damaged, "byte %d", n)
	}
}

func TestSecondKillBesideTheFirstLosesNothingMore(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0))
	for _, n := range []int{40, 1, 80} {
		untilKilled(t, func() error { return killedAt(l, n).Append(t.Context(), record("Night tide", 1)) })
	}
	appendAll(t, l, record("Rope locker crew", 2))
	c := read(t, l)
	assert.Equal(t, []string{"Lunch clappers", "Rope locker crew"}, labels(c))
	assert.Len(t, c.Problems, 2, "the middle one had written nothing but a line break")
}

func TestPowerCutThatLeavesZerosCostsOneRecord(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0))
	f, err := os.OpenFile(l.Path(), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.Write(make([]byte, 512))
	require.NoError(t, err)
	require.NoError(t, f.Close())
	appendAll(t, l, record("Rope locker crew", 2))
	c := read(t, l)
	assert.Equal(t, []string{"Lunch clappers", "Rope locker crew"}, labels(c))
	assert.Len(t, c.Problems, 1)
}

func TestFullDiskLeavesTheLogAsItWas(t *testing.T) {
	full := errors.New("no space left on device")
	for name, put := range map[string]func(f *os.File, data []byte) (int, error){
		"error": func(f *os.File, data []byte) (int, error) {
			n,
				_ := f.Write(data[:25])
			return n, full
		},
		"short write": func(f *os.File, data []byte) (int, error) { return f.Write(data[:25]) },
	} {
		t.Run(name, func(t *testing.T) {
			l := newLog(t)
			appendAll(t, l, record("Lunch clappers", 0), record("Night tide", 0))
			before, err := os.ReadFile(l.Path())
			require.NoError(t, err)
			broken := *l
			broken.put = put
			err = broken.Append(t.Context(), record("Rope locker crew", 1))
			assert.True(t, errors.Is(err, full) || errors.Is(err, io.ErrShortWrite), "%v", err)
			_, err = broken.Forget(t.Context(), "Night tide")
			assert.ErrorContains(t, err, "rewriting the history")
			after, err := os.ReadFile(l.Path())
			require.NoError(t, err)
			assert.Equal(t, before, after)
			assert.NoFileExists(t, l.rewritten())
		})
	}
}

func TestKilledAtAnyByteWhileForgettingTheOldLogStays(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0), record("Night tide", 0), record("Lunch clappers", 7))
	before, err := os.ReadFile(l.Path())
	require.NoError(t, err)
	for n := 0; n <= len(before); n += 7 {
		require.NoError(t, os.WriteFile(l.Path(), before, 0o600))
		untilKilled(t, func() error {
			_, err := killedAt(l, n).Forget(t.Context(), "Night tide")
			return err
		})
		c := read(t, l)
		require.Empty(t, c.Problems, "byte %d", n)
		require.GreaterOrEqual(t, len(c.Records), 2)
		appendAll(t, l, record("Rope locker crew", 9))
		require.NoFileExists(t, l.rewritten(), "the next writer clears up")
		require.Contains(t, labels(read(t, l)), "Rope locker crew")
	}
}

func TestWritersOfOneProgramInterleaveWithoutDamage(t *testing.T) {
	const writers, each = 6, 15
	path := newLog(t).Path()
	var wait sync.WaitGroup
	for w := range writers {
		wait.Go(func() {
			for i := range each {
				assert.NoError(t, Open(path).Append(t.Context(), record(fmt.Sprintf("crew %d", w), i)))
			}
		})
	}
	wait.Go(func() { // a reader beside them never sees half a record
		for range 20 {
			c, err := Open(path).Read(t.Context())
			assert.NoError(t, err)
			assert.Empty(t, c.Problems)
		}
	})
	wait.Wait()
	c := read(t, Open(path))
	assert.Empty(t, c.Problems)
	assert.Len(t, c.Records, writers*each)
	inOrder(t, c, writers, each)
}

// inOrder checks that each writer's records are all there, in its order.
func inOrder(t *testing.T, c *Contents, writers, each int) {
	for w := range writers {
		mine := Of(c.Records, fmt.Sprintf("crew %d", w))
		require.Len(t, mine, each)
		for i, r := range mine {
			assert.True(t, r.Date.Equal(record("", i).Date), "record %d of writer %d", i, w)
		}
	}
}

// asWriter turns the test program into a command that appends to a log until it has
// written so many records, or is killed, and says after each that it is safe.
const asWriter = "HISTORY_TEST_WRITER"

func TestMain(m *testing.M) {
	if spec := os.Getenv(asWriter); spec != "" {
		path, rest, _ := strings.Cut(spec, "|")
		var name string
		var count int
		if _, err := fmt.Sscanf(rest, "%s %d", &name, &count); err != nil {
			panic(err)
		}
		for i := range count {
			if err := Open(path).Append(context.Background(), record("crew "+name, i)); err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
			fmt.Println(i)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func writer(t *testing.T, path, name string, count int) (*exec.Cmd, *bytes.Buffer) {
	program, err := os.Executable()
	require.NoError(t, err)
	command := exec.Command(program)
	command.Env = append(os.Environ(), fmt.Sprintf("%s=%s|%s %d", asWriter, path, name, count))
	said := &bytes.Buffer{}
	command.Stdout, command.Stderr = said, os.Stderr
	require.NoError(t, command.Start())
	return command, said
}

func TestTwoProgramsInterleaveWithoutDamage(t *testing.T) {
	const each = 40
	path := newLog(t).Path()
	a, _ := writer(t, path, "0", each)
	b, _ := writer(t, path, "1", each)
	require.NoError(t, a.Wait())
	require.NoError(t, b.Wait())
	c := read(t, Open(path))
	assert.Empty(t, c.Problems)
	inOrder(t, c, 2, each)
}

func TestKilledProgramLosesNothingItCalledSafe(t *testing.T) {
	path := newLog(t).Path()
	survivor, _ := writer(t, path, "1", 60)
	for round := range 4 {
		command, said := writer(t, path, "0", 10_000)
		time.Sleep(time.Duration(30+17*round) * time.Millisecond)
		require.NoError(t, command.Process.Kill())
		_ = command.Wait()
		safe := strings.Count(said.String(), "\n")
		kept := Of(read(t, Open(path)).Records, "crew 0")
		assert.GreaterOrEqual(t, len(kept), safe)
		_, err := Open(path).Forget(t.Context(), "crew 0")
		require.NoError(t, err)
	}
	require.NoError(t, survivor.Wait(), "a lock does not outlive its program")
	c := read(t, Open(path))
	assert.Len(t, Of(c.Records, "crew 1"), 60)
}

func TestLockHeldForTooLongIsAClearError(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0))
	release, err := try(l.Path()+".lock", true)
	require.NoError(t, err)
	busy := *l
	busy.wait = 50 * time.Millisecond
	err = busy.Append(t.Context(), record("Lunch clappers", 1))
	assert.ErrorIs(t, err, ErrBusy)
	assert.ErrorContains(t, err, filepath.Base(l.Path())+".lock")
	_, err = busy.Read(t.Context())
	assert.ErrorIs(t, err, ErrBusy)
	release()
	appendAll(t, &busy, record("Lunch clappers", 1))
}

func TestReadersShareTheLock(t *testing.T) {
	l := newLog(t)
	appendAll(t, l, record("Lunch clappers", 0))
	release, err := try(l.Path()+".lock", false)
	require.NoError(t, err)
	defer release()
	assert.Len(t, read(t, l).Records, 1)
}
