//go:build unix

package store

import (
	"errors"
	"os"
	"syscall"
)

// lockFile takes a lock that ends with the process, and reports whether it has it.
func lockFile(f *os.File) (bool, error) {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}
