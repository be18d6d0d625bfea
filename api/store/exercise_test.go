package store

import (
	"path/filepath"
	"testing"

	"kerfbook/api/service"
	"kerfbook/api/store/pgtest"
	"kerfbook/api/store/storetest"
)

func TestStoreOnSQLite(t *testing.T) {
	t.Parallel()
	storetest.Exercise(t, func(t *testing.T) service.Store {
		return openDoor{open(t, filepath.Join(t.TempDir(), "book.db"))}
	})
}

func TestStoreOnPostgres(t *testing.T) {
	t.Parallel()
	cluster := pgtest.Start(t)
	storetest.Exercise(t, func(t *testing.T) service.Store {
		return openDoor{open(t, cluster.Database(t))}
	})
}

// openDoor lets the suite at the rows.
type openDoor struct{ *Store }

var _ storetest.Backdoor = openDoor{}

func (d openDoor) Behind(statements ...string) error {
	for _, statement := range statements {
		if _, err := d.write.Exec(statement); err != nil {
			return err
		}
	}
	return nil
}

func (d openDoor) Unlock(table string) error {
	if d.dialect.name == postgresDialect.name {
		return d.Behind("DROP TRIGGER " + table + "_no_change ON " + table)
	}
	return d.Behind("DROP TRIGGER "+table+"_no_update", "DROP TRIGGER "+table+"_no_delete")
}
