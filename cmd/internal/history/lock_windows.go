package history

import (
	"errors"
	"fmt"

	"golang.org/x/sys/windows"
)

// try takes the lock without waiting: LockFileEx, which belongs to the handle, so
// that it keeps goroutines apart as well as programs.
func try(path string, exclusive bool) (release func(), err error) {
	f, err := openLock(path)
	if err != nil {
		return nil, err
	}
	flags := uint32(windows.LOCKFILE_FAIL_IMMEDIATELY)
	if exclusive {
		flags |= windows.LOCKFILE_EXCLUSIVE_LOCK
	}
	err = windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, &windows.Overlapped{})
	if err == nil {
		return func() { f.Close() }, nil
	}
	f.Close()
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return nil, errHeld
	}
	return nil, fmt.Errorf("locking the history: %w", err)
}
