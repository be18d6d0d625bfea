package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

// NewerError is a database whose schema this program does not know.
type NewerError struct {
	Found, Known int64
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("the database has schema %d and this program knows up to %d: a newer program has opened it; use that one, or restore an older backup",
		e.Found, e.Known)
}

// newProvider gives the steps of a dialect on a database. On PostgreSQL two
// programs that start at once take turns.
func newProvider(d dialect, db *sql.DB) (*goose.Provider, error) {
	options := []goose.ProviderOption{goose.WithDisableGlobalRegistry(true)}
	if d.goose == goose.DialectPostgres {
		locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 30), lock.WithUnlockTimeout(1, 5))
		if err != nil {
			return nil, err
		}
		options = append(options, goose.WithSessionLocker(locker))
	}
	return goose.NewProvider(d.goose, db, d.steps, options...)
}

// schemaStep is what is done about the schema of a database that is opened: migrate
// or asItIs.
type schemaStep func(context.Context, dialect, *sql.DB) (int64, error)

// migrate brings the schema up to date and gives its version. SQLite has no lock
// for it: of two programs that start at once on a new file, one fails at a step
// the other has done, and finds it done when it looks again.
func migrate(ctx context.Context, d dialect, db *sql.DB) (int64, error) {
	p, err := newProvider(d, db)
	if err != nil {
		return 0, err
	}
	for attempt := 1; ; attempt++ {
		version, err := migrateOnce(ctx, p)
		if err == nil || attempt == attempts {
			return version, err
		}
		if _, newer := err.(*NewerError); newer {
			return 0, err
		}
		if err := pause(ctx, time.Duration(attempt)*50*time.Millisecond); err != nil {
			return 0, err
		}
	}
}

// asItIs gives the version of a schema and changes nothing.
func asItIs(ctx context.Context, d dialect, db *sql.DB) (int64, error) {
	p, err := newProvider(d, db)
	if err != nil {
		return 0, err
	}
	known := knownSchema(p)
	var found int64
	if err := db.QueryRowContext(ctx, schemaVersion).Scan(&found); err != nil {
		return 0, fmt.Errorf("reading the version of the schema: %w", err)
	}
	if found > known {
		return 0, &NewerError{found, known}
	}
	return found, nil
}

func knownSchema(p *goose.Provider) int64 {
	steps := p.ListSources()
	return steps[len(steps)-1].Version
}

const schemaVersion = "SELECT max(version_id) FROM goose_db_version"

func migrateOnce(ctx context.Context, p *goose.Provider) (int64, error) {
	found, known, err := p.GetVersions(ctx)
	if err != nil {
		return 0, fmt.Errorf("reading the version of the schema: %w", err)
	}
	if found > known {
		return 0, &NewerError{found, known}
	}
	if found == known {
		return known, nil
	}
	if _, err := p.Up(ctx); err != nil {
		return 0, fmt.Errorf("bringing the schema up to date: %w", err)
	}
	return known, nil
}
