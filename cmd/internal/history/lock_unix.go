//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package history

import (
	"errors"
	"fmt"

	"golang.org/x/sys/unix"
)

// try takes the lock without waiting: flock, which belongs to the open file, so
// that it keeps goroutines apart as well as programs.
func try(path string, exclusive bool) (release func(), err error) {
	f, err := openLock(path)
	if err != nil {
		return nil, err
	}
	how := unix.LOCK_SH
	if exclusive {
		how = unix.LOCK_EX
	}
	for {
		err = unix.Flock(int(f.Fd()), how|unix.LOCK_NB)
		if err == nil {
			return func() { f.Close() }, nil
		}
		if !errors.Is(err, unix.EINTR) {
			break
		}
	}
	f.Close()
	if errors.Is(err, unix.EWOULDBLOCK) {
		return nil, errHeld
	}
	return nil, fmt.Errorf("locking the history: %w", err)
}
