package store

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/api/store/pgtest"
	"kerfbook/costing/book/record"
)

// open opens a new database of either kind for a test.
func open(t *testing.T, address string) *Store {
	t.Helper()
	s := must(Open(t.Context(), address))(t)
	t.Cleanup(func() { _ = s.Close() })
	return s
}

func TestMigrationsOnSQLite(t *testing.T) {
	t.Parallel()
	upDownUp(t, filepath.Join(t.TempDir(), "book.db"))
}

func TestMigrationsOnPostgres(t *testing.T) {
	t.Parallel()
	upDownUp(t, pgtest.Start(t).Database(t))
}

// upDownUp goes up, down step by step, and up again, each time with a row in
// every table.
func upDownUp(t *testing.T, address string) {
	ctx := t.Context()
	s := open(t, address)
	p := must(newProvider(s.dialect, s.write))(t)
	tables := tablesOf(t, s)
	if len(tables) < 10 {
		t.Fatalf("only the tables %v", tables)
	}
	for range 2 {
		fillAll(t, s)
		for _, table := range tables {
			if count(t, s.write, table) == 0 {
				t.Errorf("table %s has no row; the way down is not tested with data", table)
			}
		}
		for step := s.schema; step > 0; step-- {
			if _, err := p.DownTo(ctx, step-1); err != nil {
				t.Fatalf("down to %d: %v", step-1, err)
			}
		}
		if left := tablesOf(t, s); len(left) > 0 {
			t.Errorf("after all steps down there are still %v", left)
		}
		if _, err := p.Up(ctx); err != nil {
			t.Fatal(err)
		}
	}
	if again := tablesOf(t, s); !slices.Equal(again, tables) {
		t.Errorf("tables %v, the second time %v", tables, again)
	}
}

func count(t *testing.T, db *sql.DB, table string) (n int) {
	t.Helper()
	if err := db.QueryRow("SELECT count(*) FROM " + table).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

func tablesOf(t *testing.T, s *Store) (out []string) {
	t.Helper()
	query := "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY 1"
	if s.dialect.name == postgresDialect.name {
		query = "SELECT tablename FROM pg_tables WHERE schemaname = 'public' ORDER BY 1"
	}
	rows := must(s.write.Query(query))(t)
	defer rows.Close()
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(name, "goose") {
			out = append(out, name)
		}
	}
	return out
}

// fillAll puts a row into every table.
func fillAll(t *testing.T, s *Store) {
	t.Helper()
	now, hash := time.Now(), make([]byte, 32)
	err := s.Update(t.Context(), func(tx service.Tx) error {
		ctx := context.Background()
		_, err := tx.Quotes().NextNumber(ctx, "Q")
		return errors.Join(err,
			tx.Records().SetVersion(ctx, "v"),
			tx.Records().Append(ctx, service.StoredRecord{Kept: record.Kept{Kind: "parts", ID: "A", Revision: 1}, Hash: hash, ChangedAt: now}),
			tx.Log().Append(ctx, service.LogEntry{Seq: 1, At: now, Change: 1, Reason: "r", Prev: hash, Hash: hash}),
			tx.Quotes().Insert(ctx, promise.StoredQuote{Number: "Q-1", Revision: 1, Net: decimal.New(10, -2), Document: hash, Hash: hash, CreatedAt: now}),
			tx.Quotes().InsertPattern(ctx, promise.StoredPattern{Hash: hash, Likeness: "GB", Whole: true, Document: hash}),
			tx.Access().InsertLink(ctx, service.StoredLink{Hash: hash, Created: now, Expires: now}),
			tx.Access().PutPerson(ctx, service.Person{ID: "P", Name: "p", Role: service.QuoteOnly, Created: now}),
			tx.Access().InsertSession(ctx, service.StoredSession{Hash: hash, Created: now, Seen: now, Expires: now}),
			tx.Access().InsertToken(ctx, service.StoredToken{Token: service.Token{ID: "T", Name: "t"}, Hash: hash}),
			tx.Runs().Insert(ctx, "r", hash, now),
			tx.Scenarios().Put(ctx, service.StoredScenario{Name: "s", Content: hash, KeptAt: now}),
			tx.Idempotency().Insert(ctx, service.StoredAnswer{Actor: "a", Key: "k", Fingerprint: hash, At: now}))
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestNewerSchemaIsRefused(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "book.db")
	s := open(t, path)
	if _, err := s.write.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, 1)"); err != nil {
		t.Fatal(err)
	}
	if err := s.Ready(t.Context()); answer.CodeOf(err) != answer.Busy {
		t.Errorf("ready with a newer schema: %v", err)
	}
	_, err := Open(t.Context(), path)
	var newer *NewerError
	if !errors.As(err, &newer) || newer.Found != 99 || newer.Known != s.schema {
		t.Errorf("a newer schema: %v", err)
	}
}
