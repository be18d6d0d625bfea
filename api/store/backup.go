package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// ErrNoFile is a backup asked of a database that is no file.
var ErrNoFile = errors.New("this database is no SQLite file; back it up with pg_dump and restore it with pg_restore")

// LookAtCopy opens a backup as it is.
func LookAtCopy(ctx context.Context, path string) (*Store, error) {
	return lookSQLite(ctx, path, "mode=ro&immutable=1")
}

// Backup writes a consistent copy of an SQLite database to a file that must not
// exist, while the database is in use. The copy is checked and on the disk when
// Backup returns.
func (s *Store) Backup(ctx context.Context, to string) error {
	if s.dialect.name != sqliteDialect.name {
		return ErrNoFile
	}
	if err := mustNotExist(to); err != nil {
		return err
	}
	part := to + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	// An empty file of its owner's comes first: the copy takes its mode over.
	f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, fileMode)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if _, err := s.write.ExecContext(ctx, "VACUUM INTO $1", part); err != nil {
		return fmt.Errorf("writing the backup: %w", err)
	}
	return finish(ctx, part, to)
}

// Restore copies a backup to where a database is to be, which must not exist, nor
// be served. The copy is checked before it gets its name. SQLite would play a log
// that was left there over the copy: with force it is deleted, else nothing is
// restored.
func Restore(ctx context.Context, from, to string, force bool) (err error) {
	if isPostgres(to) {
		return ErrNoFile
	}
	place, err := Lock(to)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, place.Close()) }()
	if err := mustNotExist(to); err != nil {
		return err
	}
	left, err := leftBeside(to)
	if err != nil {
		return err
	}
	if len(left) > 0 && !force {
		return fmt.Errorf("%s was left by a database that stood at %s and would be played over what is restored; nothing was restored: move it away, or give --force to delete it",
			strings.Join(left, " and "), to)
	}
	if err := notInUse(from); err != nil {
		return err
	}
	if err := checkFile(ctx, from); err != nil {
		return err
	}
	part := to + ".part"
	if err := copyFile(from, part); err != nil {
		return err
	}
	for _, name := range left {
		if err := os.Remove(name); err != nil {
			return errors.Join(err, os.Remove(part))
		}
	}
	return finish(ctx, part, to)
}

// leftBeside lists the files that SQLite would read with a database of a name.
func leftBeside(path string) (out []string, err error) {
	for _, name := range []string{path + "-wal", path + "-shm", path + "-journal"} {
		switch _, err := os.Lstat(name); {
		case err == nil:
			out = append(out, name)
		case !errors.Is(err, os.ErrNotExist):
			return nil, err
		}
	}
	return out, nil
}

// notInUse refuses a file whose last changes are in a log beside it: it is a
// database and no backup.
func notInUse(path string) error {
	info, err := os.Stat(path + "-wal")
	if err != nil || info.Size() == 0 {
		return nil
	}
	return fmt.Errorf("%s has its last changes in %s-wal and is no backup; make one with kerfbook backup", path, path)
}

func mustNotExist(path string) error {
	_, err := os.Lstat(path)
	switch {
	case err == nil:
		return fmt.Errorf("%s exists; nothing is written over it: %w", path, os.ErrExist)
	case errors.Is(err, os.ErrNotExist):
		return nil
	default:
		return err
	}
}

// finish checks a written file, puts it on the disk and gives it its name.
func finish(ctx context.Context, part, to string) error {
	if err := checkFile(ctx, part); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	if err := os.Chmod(part, fileMode); err != nil {
		return err
	}
	if err := syncPath(part); err != nil {
		return err
	}
	if err := os.Rename(part, to); err != nil {
		return err
	}
	return syncPath(filepath.Dir(to))
}

// syncPath waits until a file, or the names in a folder, are on the disk.
func syncPath(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// checkFile wants a whole database of ours.
func checkFile(ctx context.Context, path string) error {
	if _, err := os.Stat(path); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", dataSource(path, "mode=ro&immutable=1"))
	if err != nil {
		return err
	}
	defer db.Close()
	var id int64
	if err := db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil || id != applicationID {
		return fmt.Errorf("%s is no database of Kerfbook: %w", path, errors.Join(err, errWrongFile))
	}
	var verdict string
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&verdict); err != nil || verdict != "ok" {
		return fmt.Errorf("%s is damaged: %s: %w", path, verdict, errors.Join(err, errWrongFile))
	}
	return nil
}

var errWrongFile = errors.New("it was left as it is")

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, fileMode)
	if err != nil {
		return err
	}
	if _, err := io.Copy(out, in); err != nil {
		return errors.Join(err, out.Close())
	}
	return errors.Join(out.Sync(), out.Close())
}
