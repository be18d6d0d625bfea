package store

import (
	"context"
	"database/sql"
	"fmt"
)

// Built is what this program brings for a database: the SQLite within it, and the
// schema it brings a database to.
type Built struct {
	SQLite string
	Schema int64
}

// BuiltWith asks the SQLite within the program, and the steps of its schema; no
// file is touched.
func BuiltWith(ctx context.Context) (Built, error) {
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return Built{}, err
	}
	defer db.Close()
	var b Built
	if err := db.QueryRowContext(ctx, "SELECT sqlite_version()").Scan(&b.SQLite); err != nil {
		return Built{}, fmt.Errorf("asking SQLite for its version: %w", err)
	}
	p, err := newProvider(sqliteDialect, db)
	if err != nil {
		return Built{}, err
	}
	b.Schema = knownSchema(p)
	return b, nil
}
