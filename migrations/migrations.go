// Package migrations holds the schemas of the databases as the steps that led to
// them, the same steps for each.
package migrations

import (
	"embed"
	"io/fs"
)

//go:embed sqlite/*.sql postgres/*.sql
var files embed.FS

// SQLite gives the steps for SQLite.
func SQLite() fs.FS { return within("sqlite") }

// Postgres gives the steps for PostgreSQL.
func Postgres() fs.FS { return within("postgres") }

// within cannot fail: the folders are named in the directive above.
func within(folder string) fs.FS {
	sub, err := fs.Sub(files, folder)
	if err != nil {
		panic(err)
	}
	return sub
}
