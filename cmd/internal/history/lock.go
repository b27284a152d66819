package history

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"
)

// ErrBusy is returned where another program has held the log for too long.
var ErrBusy = errors.New("another program is using the history")

// errHeld is returned by try where somebody else holds the lock.
var errHeld = errors.New("held")

const lockPause = 15 * time.Millisecond // between tries

// acquire takes the lock on a file of its own beside the log; the log itself is
// replaced when a group is forgotten, and a lock on it would go with it. The file
// stays: whoever removed it could remove one that another program has just locked.
// The system lets go of the lock when a program ends, however it ends.
func acquire(ctx context.Context, path string, exclusive bool, wait time.Duration) (release func(),
	err error,
) {
	deadline := time.Now().Add(wait)
	for {
		release, err := try(path, exclusive)
		if !errors.Is(err, errHeld) {
			return release, err
		}
		if time.Now().After(deadline) {
			return nil, fmt.Errorf("%w; try again when it is done (it holds %s)", ErrBusy, path)
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(lockPause):
		}
	}
}

// openLock opens the lock's file.
func openLock(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, filePermission)
	if err != nil {
		return nil, fmt.Errorf("locking the history: %w", err)
	}
	return f, nil
}
