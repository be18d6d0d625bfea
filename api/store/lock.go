package store

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Place is that of the one server of a database.
type Place struct {
	file *os.File // nil for PostgreSQL, which takes any number
}

// ServedError says that another server has the place.
type ServedError struct {
	Database string
	Process  string // empty where it has not said so
	Origin   string // where it serves; empty where it has not said so
}

func (e *ServedError) Error() string {
	holder := ""
	if e.Process != "" {
		holder = ", process " + e.Process
	}
	if e.Origin != "" {
		holder += ", at " + e.Origin
	}
	return fmt.Sprintf("%s is served by another kerfbook%s; stop that one first, or name another database with --data", e.Database, holder)
}

// Lock takes the place of the one server of an SQLite file; a second gets a
// *ServedError until the first has given it back or has ended, however it ended.
func Lock(address string) (*Place, error) {
	if isPostgres(address) {
		return &Place{}, nil
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
		err = servedBy(address, f)
	}
	if err != nil {
		_ = f.Close()
		return nil, err
	}
	p := &Place{f}
	p.Tell("")
	return p, nil
}

// Tell says where the database is served, for the second who comes. It is for
// people; the lock is what counts.
func (p *Place) Tell(origin string) {
	if p.file != nil {
		_ = p.file.Truncate(0)
		_, _ = p.file.WriteAt([]byte(strconv.Itoa(os.Getpid())+" "+origin), 0)
	}
}

// Close gives the place back.
func (p *Place) Close() error {
	if p.file == nil {
		return nil
	}
	_ = p.file.Truncate(0)
	return p.file.Close()
}

// servedBy reads what the holder of a lock has said.
func servedBy(address string, f *os.File) error {
	text, _ := io.ReadAll(io.LimitReader(f, 400))
	process, origin, _ := strings.Cut(string(text), " ")
	if _, err := strconv.Atoi(process); err != nil {
		return &ServedError{Database: address}
	}
	return &ServedError{address, process, strings.TrimSpace(origin)}
}
