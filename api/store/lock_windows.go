package store

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// farAway is a byte behind all that the file says, since what is locked cannot be
// read by others here.
const farAway = 1 << 20

// lockFile takes a lock that ends with the process, and reports whether it has it.
func lockFile(f *os.File) (bool, error) {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0,
		&windows.Overlapped{Offset: farAway})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}
