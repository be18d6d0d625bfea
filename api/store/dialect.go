package store

import (
	"database/sql"
	"database/sql/driver"
	"errors"
	"io"
	"io/fs"
	"net"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/pressly/goose/v3"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"kerfbook/migrations"
)

// dialect is all in which the two databases differ once they are open.
type dialect struct {
	name  string
	goose goose.Dialect
	steps fs.FS
	// lock is run first in every transaction that writes: it waits until it is
	// the only one. SQLite does this when the transaction begins.
	lock string
	// view are the options under which a reading transaction sees one state.
	view *sql.TxOptions
	// trouble says what kind an error of the database is.
	trouble func(error) trouble
	// undone says that a commit which failed with an error certainly did nothing.
	undone func(error) bool
}

// trouble is what an error of the database means to us.
type trouble int

const (
	other     trouble = iota
	duplicate         // a key that is there already
	again             // the transaction may be run again
	locked            // another writer did not finish in time
	away              // the database cannot be reached
	full              // no room left
	failing           // the disk, or a limit on it, refuses
	unkept            // the disk did not keep what it took
	damage            // what is stored is not what was written
)

var sqliteDialect = dialect{
	name: "SQLite", goose: goose.DialectSQLite3, steps: migrations.SQLite(),
	view:    &sql.TxOptions{ReadOnly: true},
	trouble: sqliteTrouble,
	undone:  sqliteUndone,
}

func sqliteTrouble(err error) trouble {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return other
	}
	switch code := e.Code(); {
	case code == sqlite3.SQLITE_IOERR_FSYNC || code == sqlite3.SQLITE_IOERR_DIR_FSYNC:
		return unkept
	case code == sqlite3.SQLITE_IOERR_SHMSIZE:
		return full // the file of the index beside the log cannot grow
	case code == sqlite3.SQLITE_CONSTRAINT_UNIQUE || code == sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY:
		return duplicate
	case code&0xff == sqlite3.SQLITE_BUSY || code&0xff == sqlite3.SQLITE_LOCKED:
		return locked
	case code&0xff == sqlite3.SQLITE_FULL:
		return full
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN:
		return failing
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return damage
	}
	return other
}

// sqliteUndone: a commit is written to the log up to its last frame and then
// synced. One that finds no room lacks that frame; after any other fault of the
// disk the next start may find the commit whole.
func sqliteUndone(err error) bool {
	kind := sqliteTrouble(err)
	return kind != other && kind != failing && kind != unkept && kind != damage
}

var postgresDialect = dialect{
	name: "PostgreSQL", goose: goose.DialectPostgres, steps: migrations.Postgres(),
	lock:    "SELECT id FROM book_state WHERE id = 1 FOR UPDATE",
	view:    &sql.TxOptions{ReadOnly: true, Isolation: sql.LevelRepeatableRead},
	trouble: postgresTrouble,
	undone:  postgresUndone,
}

func postgresTrouble(err error) trouble {
	var e *pgconn.PgError
	if !errors.As(err, &e) {
		return lost(err)
	}
	switch e.Code {
	case "23505": // unique_violation
		return duplicate
	case "40001", "40P01": // serialization_failure, deadlock_detected
		return again
	case "55P03", "57014": // lock_not_available, query_canceled by a timeout
		return locked
	case "53300", "57P01", "57P02", "57P03", "08006", "25P03": // too many connections, shutting down or starting, connection lost
		return away
	case "53100": // disk_full
		return full
	case "58030": // io_error
		return failing
	case "XX001", "XX002": // data_corrupted, index_corrupted
		return damage
	}
	return other
}

// postgresUndone: an error with which the server goes on has ended the
// transaction; where the server or the connection ended, the commit may have been
// before that.
func postgresUndone(err error) bool {
	var e *pgconn.PgError
	return errors.As(err, &e) && e.SeverityUnlocalized == "ERROR"
}

// lost tells a connection that broke from any other error.
func lost(err error) trouble {
	var connect *pgconn.ConnectError
	var network net.Error
	if pgconn.SafeToRetry(err) || errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, driver.ErrBadConn) ||
		errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) {
		return away
	}
	return other
}
