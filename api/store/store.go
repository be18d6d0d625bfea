package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"strings"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

// Store is an open database.
type Store struct {
	dialect dialect
	write   *sql.DB
	read    *sql.DB
	schema  int64
	version *sql.Stmt // asked for with every figure, so it is prepared
	token   *sql.Stmt // asked for with every request of a program
	close   func() error
	health  health
}

var _ service.Store = (*Store)(nil)

// Open opens the database at an address: a postgres:// address, or the path of
// an SQLite file, which is made if there is none. The schema is brought up to
// date; one that is newer than this program is refused.
func Open(ctx context.Context, address string) (*Store, error) {
	if isPostgres(address) {
		return openPostgres(ctx, address, migrate)
	}
	return openSQLite(ctx, address)
}

// Look opens a database as it is: one that is not there is not made, the schema is
// not brought up to date, and nothing can be written.
func Look(ctx context.Context, address string) (*Store, error) {
	if !isPostgres(address) {
		return lookSQLite(ctx, address, "_pragma=busy_timeout(5000)")
	}
	s, err := openPostgres(ctx, address, asItIs)
	if err == nil {
		s.dialect.lock = "SET TRANSACTION READ ONLY"
	}
	return s, err
}

// prepared readies the statements that are run most.
func (s *Store) prepared(ctx context.Context) (*Store, error) {
	var err error
	if s.version, err = s.read.PrepareContext(ctx, bookVersion); err != nil {
		return nil, errors.Join(err, s.close())
	}
	if s.token, err = s.read.PrepareContext(ctx, tokenByHash); err != nil {
		return nil, errors.Join(err, s.version.Close(), s.close())
	}
	return s, nil
}

// MustExist refuses the path of an SQLite file that is not there, for whoever
// would be fooled by a new and empty database.
func MustExist(address string) error {
	if isPostgres(address) {
		return nil
	}
	_, err := os.Stat(address)
	return err
}

// Name is an address as it may be shown: without a password.
func Name(address string) string {
	if !isPostgres(address) {
		return address
	}
	u, err := url.Parse(address)
	if err != nil {
		return "a PostgreSQL database"
	}
	query := u.Query()
	if query.Has("password") {
		query.Set("password", "xxxxx")
		u.RawQuery = query.Encode()
	}
	return u.Redacted()
}

func isPostgres(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// Close closes the database.
func (s *Store) Close() error { return errors.Join(s.version.Close(), s.token.Close(), s.close()) }

// attempts bound how often a transaction is run that the database asks for again.
const attempts = 5

// Update runs f in the one transaction that may write.
func (s *Store) Update(ctx context.Context, f func(service.Tx) error) error {
	if err := s.health.mayWrite(); err != nil {
		return err
	}
	for attempt := 1; ; attempt++ {
		err := s.updateOnce(ctx, f)
		if err == nil || s.dialect.trouble(err) != again {
			return s.explain(ctx, err)
		}
		if attempt == attempts {
			return &answer.Error{Code: answer.Busy, Message: "others were changing the same; nothing was saved, try again", Err: err}
		}
		if err := pause(ctx, time.Duration(attempt)*10*time.Millisecond); err != nil {
			return s.explain(ctx, err)
		}
	}
}

func (s *Store) updateOnce(ctx context.Context, f func(service.Tx) error) error {
	conn, err := s.turn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	sqlTx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer sqlTx.Rollback() //nolint:errcheck // after a commit it does nothing
	if s.dialect.lock != "" {
		if _, err := sqlTx.ExecContext(ctx, s.dialect.lock); err != nil {
			return err
		}
	}
	if err := f(&tx{sqlTx, s.dialect}); err != nil {
		return err
	}
	err = sqlTx.Commit()
	if err == nil || s.dialect.undone(err) {
		return err
	}
	s.health.note(s.dialect.trouble(err))
	return &answer.Error{Code: answer.OutcomeUnknown, Message: unknownOutcome, Err: err}
}

// turnWithin bounds how long a writer waits for those before it.
const turnWithin = 10 * time.Second

// turn waits for a connection that writes.
func (s *Store) turn(ctx context.Context) (*sql.Conn, error) {
	wait, stop := context.WithTimeout(ctx, turnWithin)
	defer stop()
	conn, err := s.write.Conn(wait)
	if err != nil && wait.Err() != nil && ctx.Err() == nil {
		err = &answer.Error{Code: answer.Busy, Message: "other changes take long; nothing was saved, try again", Err: err}
	}
	return conn, err
}

func pause(ctx context.Context, d time.Duration) error {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-timer.C:
		return nil
	}
}

// View runs f on one state of the database.
func (s *Store) View(ctx context.Context, f func(service.Tx) error) error {
	sqlTx, err := s.read.BeginTx(ctx, s.dialect.view)
	if err != nil {
		return s.explain(ctx, err)
	}
	defer sqlTx.Rollback() //nolint:errcheck // nothing was written
	return s.explain(ctx, f(&tx{sqlTx, s.dialect}))
}

// BookVersion gives the version of the book.
func (s *Store) BookVersion(ctx context.Context) (answer.Version, error) {
	var v answer.Version
	err := s.version.QueryRowContext(ctx).Scan(&v)
	return v, s.explain(ctx, err)
}

// TokenByHash gives the token of a hash and the version of the book without a
// transaction around it.
func (s *Store) TokenByHash(ctx context.Context, hash []byte) (t service.StoredToken, v answer.Version, err error) {
	err = s.token.QueryRowContext(ctx, hash).Scan(append([]any{&v}, tokenInto(&t)...)...)
	if errors.Is(err, sql.ErrNoRows) {
		return t, v, &answer.Error{Code: answer.NotFound, Message: "there is no such token"}
	}
	return t, v, s.explain(ctx, err)
}

// readyWithin bounds how long a healthy database takes to answer.
const readyWithin = time.Second

// Ready asks the database for its schema, and to write where that failed before.
func (s *Store) Ready(ctx context.Context) error {
	ctx, stop := context.WithTimeout(ctx, readyWithin)
	defer stop()
	if err := s.writable(ctx); err != nil {
		return err
	}
	var schema int64
	err := s.read.QueryRowContext(ctx, schemaVersion).Scan(&schema)
	if err != nil {
		return s.explain(ctx, err)
	}
	if schema != s.schema {
		return &answer.Error{Code: answer.Busy, Message: fmt.Sprintf(
			"the database has schema %d, this program works with %d", schema, s.schema)}
	}
	return nil
}

// explain turns an error of the database into one the service knows; its own
// errors pass, unless one only hides what the database said.
func (s *Store) explain(ctx context.Context, err error) error {
	var known *answer.Error
	if err == nil || errors.As(err, &known) && known.Code != answer.Internal {
		return err
	}
	told := func(code answer.Code, message string) error {
		return &answer.Error{Code: code, Message: message, Err: err}
	}
	kind := s.dialect.trouble(err)
	s.health.note(kind)
	switch kind {
	case duplicate:
		return told(answer.Exists, "it is there already")
	case again, locked:
		return told(answer.Busy, "another change takes long; nothing was saved, try again")
	case away:
		return told(answer.Busy, "the database does not answer; nothing was saved, try again")
	case full:
		return told(answer.NoSpace, noRoom)
	case failing:
		return told(answer.StoreFailed, refused)
	case unkept:
		return told(answer.StoreFailed, still)
	case damage:
		return told(answer.StoreFailed, whole)
	}
	if ctx.Err() != nil {
		return told(answer.Busy, "it took too long, or the caller left; nothing was saved")
	}
	return told(answer.Internal, "the database failed")
}
