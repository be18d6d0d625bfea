package store

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Lock takes the place of the one server of an SQLite file; a second is refused
// until the first has given it back or has ended, however it ended. PostgreSQL
// takes any number of servers.
func Lock(address string) (unlock func() error, err error) {
	if isPostgres(address) {
		return func() error { return nil }, nil
	}
	path := address
	if real, err := filepath.EvalSymlinks(address); err == nil {
		path = real
	}
	path += "-lock"
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, fileMode)
	if err != nil {
		return nil, fmt.Errorf("locking the database: %w", err)
	}
	held, err := lockFile(f)
	if err == nil && !held {
		err = fmt.Errorf("%s is served by another kerfbook%s; stop that one first, or name another database with --data", address, holder(f))
	}
	if err != nil {
		_ = f.Close()
		return nil, err
	}
	// The name of the holder is for people; the lock is what counts.
	_ = f.Truncate(0)
	_, _ = f.WriteAt([]byte(strconv.Itoa(os.Getpid())), 0)
	return func() error {
		_ = f.Truncate(0)
		return f.Close()
	}, nil
}

// holder says which process has a lock, if it has said so.
func holder(f *os.File) string {
	text, err := io.ReadAll(io.LimitReader(f, 20))
	if _, bad := strconv.Atoi(strings.TrimSpace(string(text))); err != nil || bad != nil {
		return ""
	}
	return ", process " + strings.TrimSpace(string(text))
}
