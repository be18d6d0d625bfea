package api

import (
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"

	_ "modernc.org/sqlite"
)

// rows hashes every row of every table, so that two states can be compared. The
// time at which a token was last used is left out: asking is not changing.
func (w *world) rows(t testing.TB) string {
	t.Helper()
	db := must(sql.Open("sqlite", w.file))(t)
	defer db.Close()
	h := sha256.New()
	tables := query(t, db, "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name")
	if len(tables) < 8 {
		t.Fatalf("only %d tables", len(tables))
	}
	for _, table := range tables {
		columns := query(t, db, "SELECT name FROM pragma_table_info('"+table+"') WHERE name NOT LIKE '%used%' ORDER BY cid")
		list := "quote(" + strings.Join(columns, ")||','||quote(") + ")"
		for _, row := range query(t, db, "SELECT "+list+" FROM "+table+" ORDER BY 1") {
			fmt.Fprintf(h, "%s\n%s\n", table, row)
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}

func query(t testing.TB, db *sql.DB, text string) []string {
	t.Helper()
	found := must(db.QueryContext(t.Context(), text))(t)
	defer found.Close()
	var out []string
	for found.Next() {
		var one string
		if err := found.Scan(&one); err != nil {
			t.Fatal(err)
		}
		out = append(out, one)
	}
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestRowsSeeChanges proves that the hash changes with a record.
func TestRowsSeeChanges(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	before := w.rows(t)
	if w.rows(t) != before {
		t.Fatal("the hash changes by itself")
	}
	w.rename(t, "Another Workshop")
	if w.rows(t) == before {
		t.Error("the hash does not see a change")
	}
}

// rename changes the name of the shop, and with it the version of the book.
func (w *world) rename(t testing.TB, name string) {
	t.Helper()
	tag := w.want(t, 200, ask{method: "GET", path: "/api/v1/shop"}).Header().Get("ETag")
	w.want(t, 200, ask{method: "PUT", path: "/api/v1/shop", header: map[string]string{"If-Match": tag},
		body: fmt.Sprintf(`{"name":%q,"country":"PT","currency":"EUR"}`, name)})
}
