package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"runtime"
	"strings"
	"time"
)

// fileMode keeps the book to its owner. The files SQLite puts beside the
// database take its mode over.
const fileMode = 0o600

// applicationID marks an SQLite file as ours: "KERF".
const applicationID = 0x4b455246

// pinned are the settings every connection has: writers and readers do not wait
// for one another (WAL), a commit that was acknowledged survives a loss of power
// (FULL).
const pinned = "_pragma=journal_mode(WAL)&_pragma=busy_timeout(5000)&_pragma=foreign_keys(1)&_pragma=synchronous(FULL)"

func openSQLite(ctx context.Context, path string) (*Store, error) {
	if err := prepareFile(path); err != nil {
		return nil, err
	}
	write, err := sql.Open("sqlite", dataSource(path, pinned+"&_txlock=immediate"))
	if err != nil {
		return nil, err
	}
	write.SetMaxOpenConns(1)
	s := &Store{dialect: sqliteDialect, write: write, close: write.Close}
	if s.schema, err = startInTurn(ctx, write, path); err != nil {
		return nil, errors.Join(unopened(path, err), write.Close())
	}
	s.read, err = sql.Open("sqlite", dataSource(path, pinned+"&_pragma=query_only(1)"))
	if err != nil {
		return nil, errors.Join(err, write.Close())
	}
	readers := max(4, runtime.GOMAXPROCS(0))
	s.read.SetMaxOpenConns(readers)
	s.read.SetMaxIdleConns(readers)
	s.close = func() error { return errors.Join(s.read.Close(), s.write.Close()) }
	return s.prepared(ctx)
}

// startInTurn starts a database when others that start on the file let it. While a
// file is new they change how it is written, for which SQLite refuses the others at
// once instead of having them wait.
func startInTurn(ctx context.Context, db *sql.DB, path string) (schema int64, err error) {
	for range startTries {
		if schema, err = startSQLite(ctx, db, path); sqliteTrouble(err) != locked || ctx.Err() != nil {
			break
		}
		time.Sleep(startPause)
	}
	return schema, err
}

const (
	startTries = 100
	startPause = 20 * time.Millisecond
)

// lookSQLite opens a file that is there, with settings under which nothing is
// written to it.
func lookSQLite(ctx context.Context, path, settings string) (*Store, error) {
	if err := checkOurs(path); err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", dataSource(path, settings))
	if err != nil {
		return nil, err
	}
	d := sqliteDialect
	d.lock = "PRAGMA query_only = 1" // not in the address: it would stop a backup as well
	s := &Store{dialect: d, write: db, read: db, close: db.Close}
	if s.schema, err = asItIs(ctx, sqliteDialect, db); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return s.prepared(ctx)
}

// checkOurs refuses a file that is no database of ours.
func checkOurs(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(ours(f, path), f.Close())
}

// dataSource names the file in a way that takes any character of a path.
func dataSource(path, settings string) string {
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + settings
}

// prepareFile makes the file if there is none, keeps it to its owner, and refuses
// what is not ours before SQLite writes to it.
func prepareFile(path string) error {
	if path == "" || strings.HasPrefix(path, ":") {
		return fmt.Errorf("%q is no place for a database; name a file, or a postgres:// address", path)
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, fileMode)
	if err != nil {
		return fmt.Errorf("opening the database: %w", err)
	}
	defer f.Close()
	if err := ours(f, path); err != nil {
		return err
	}
	if err := f.Chmod(fileMode); err != nil {
		return fmt.Errorf("keeping the database to its owner: %w", err)
	}
	return nil
}

// ours looks at the first page. A file of a single page may be one whose first
// start was killed before our id went in.
func ours(f *os.File, path string) error {
	const page, idAt = 4096, 68
	head := make([]byte, 100)
	switch n, err := io.ReadFull(f, head); {
	case n == 0 && errors.Is(err, io.EOF): // new
		return nil
	case err != nil || !bytes.HasPrefix(head, []byte("SQLite format 3\x00")):
		return fmt.Errorf("%s is no database; nothing in it was changed", path)
	}
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if id := binary.BigEndian.Uint32(head[idAt:]); id != applicationID && info.Size() > page {
		return foreign(path)
	}
	return nil
}

func foreign(path string) error {
	return fmt.Errorf("%s is the database of another program; nothing in it was changed", path)
}

// startSQLite checks that the file is ours and whole, and brings it up to date.
func startSQLite(ctx context.Context, db *sql.DB, path string) (int64, error) {
	var id, tables int64
	if err := db.QueryRowContext(ctx, "SELECT (SELECT count(*) FROM sqlite_schema), application_id FROM pragma_application_id").Scan(&tables, &id); err != nil {
		return 0, err
	}
	if id != applicationID && (id != 0 || tables > 0) {
		return 0, foreign(path)
	}
	var verdict string
	if err := db.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&verdict); err != nil {
		return 0, err
	}
	if verdict != "ok" {
		return 0, damaged(path, verdict)
	}
	// The id goes in first: a start that is killed half-way leaves a file that
	// the next one knows as ours.
	if id == 0 {
		if _, err := db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
			return 0, err
		}
	}
	return migrate(ctx, sqliteDialect, db)
}

// unopened says why a database cannot be opened. Only what a check found is
// damage: whoever restores a backup for less loses what came after it.
func unopened(path string, err error) error {
	switch sqliteTrouble(err) {
	case damage:
		return damaged(path, err.Error())
	case full:
		return fmt.Errorf("there is no room left on the disk of %s, and nothing in it was changed; free some room there, then start again: %w", path, err)
	case failing, unkept:
		return fmt.Errorf("the disk of %s does not do what it is asked to, because a quota or a limit is used up or because it fails; "+
			"no damage was found, and nothing is to be restored before the disk has been looked after: %w", path, err)
	}
	return err
}

func damaged(path, detail string) error {
	return fmt.Errorf("%s is damaged (%s); keep it, and restore the latest backup to another file", path, detail)
}
