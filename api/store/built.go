package store

import (
	"context"
	"database/sql"
	"fmt"
)

// Release is what this program brings for a database: the SQLite within it, and the
// schema it brings a database to.
type Release struct {
	SQLite string
	Schema int64
}

// BuiltWith asks the SQLite within the program, and the steps of its schema; no
// file is touched.
func BuiltWith(ctx context.Context) (Release, error) {
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return Release{}, err
	}
	defer db.Close()
	var b Release
	if err := db.QueryRowContext(ctx, "SELECT sqlite_version()").Scan(&b.SQLite); err != nil {
		return Release{}, fmt.Errorf("asking SQLite for its version: %w", err)
	}
	p, err := newProvider(sqliteDialect, db)
	if err != nil {
		return Release{}, err
	}
	b.Schema = knownSchema(p)
	return b, nil
}
