package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
)

// TestOperationsOfAPartAsATable reads the table of a part, previews it changed, writes
// it, and reads it back.
func TestOperationsOfAPartAsATable(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	const path = "/api/v1/parts/HS-010/operations"
	got := w.want(t, 200, ask{method: "GET", path: path})
	table := got.Body.String()
	if got.Header().Get("Content-Type") != "text/csv; charset=utf-8" || !strings.HasPrefix(table, "operation,feature,") || got.Header().Get("ETag") == "" {
		t.Fatalf("%v\n%s", got.Header(), table)
	}
	if again := w.want(t, 304, ask{method: "GET", path: path, header: map[string]string{"If-None-Match": got.Header().Get("ETag")}}); again.Body.Len() > 0 {
		t.Error("a table that is the same is sent again")
	}
	csv := map[string]string{"Content-Type": "text/csv; charset=utf-8"}
	changed := strings.Replace(table, "deburr", "deburr and wash", 1)
	if changed == table {
		t.Fatalf("no deburring in\n%s", table)
	}
	preview := w.operations(t, 200, ask{method: "POST", path: path + "?preview=true", body: changed, header: csv})
	if preview.Written || len(preview.Records) != 1 || len(preview.Records[0].Fields) != 1 || preview.Records[0].Fields[0].After != "deburr and wash" || preview.Records[0].Did != "changed" {
		t.Errorf("%+v", preview)
	}
	w.want(t, 428, ask{method: "POST", path: path, body: changed, header: csv})
	match := map[string]string{"Content-Type": "text/csv", "If-Match": `"` + string(preview.Version) + `"`}
	done := w.operations(t, 200, ask{method: "POST", path: path, body: changed, header: match})
	if !done.Written || done.Version == preview.Version {
		t.Errorf("%+v", done)
	}
	w.want(t, 412, ask{method: "POST", path: path, body: changed, header: match})
	if now := w.want(t, 200, ask{method: "GET", path: path}).Body.String(); now != changed {
		t.Errorf("what was sent came back as\n%s", now)
	}
}

func (w *world) operations(t *testing.T, status int, q ask) (out change.TableImport) {
	t.Helper()
	if err := json.Unmarshal(w.want(t, status, q).Body.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestFaultsOfATableHavePlaces(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	const path = "/api/v1/parts/HS-010/operations?preview=true"
	csv := map[string]string{"Content-Type": "text/csv"}
	text := w.want(t, 422, ask{method: "POST", path: path, header: csv, body: "operation,name,kind,yield\n10,saw,sawing,x\n"}).Body.String()
	for _, want := range []string{`"line":2`, `"column":3`, `"column":4`, `is not one of`, "nothing was written"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s in %s", want, text)
		}
	}
	w.want(t, 415, ask{method: "POST", path: path, body: "operation\n", header: map[string]string{"Content-Type": "application/json"}})
	w.want(t, 404, ask{method: "GET", path: "/api/v1/parts/HS-999/operations"})
	w.want(t, 413, ask{method: "POST", path: path, body: strings.Repeat("x", 2<<20), header: csv})
}

// TestPartMinutes: the API tells of each feature the tool, its figures and what came
// next, and refuses a part or a batch that is not there.
func TestPartMinutes(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	got := w.want(t, http.StatusOK, ask{method: "GET", path: Base + "/parts/HS-010/minutes?mix=plain=100&day=2026-11-25"})
	var out answer.Minutes
	if err := json.Unmarshal(got.Body.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	if len(out.Features) == 0 || out.Features[0].Tool == "" || out.Features[0].Spindle.Key == "" || len(out.Features[0].Passes) == 0 || len(out.Features[0].Others) != 3 || out.Features[0].More == 0 {
		t.Errorf("%s", got.Body)
	}
	w.want(t, http.StatusNotFound, ask{method: "GET", path: Base + "/parts/NONE/minutes?mix=plain=100"})
	w.want(t, http.StatusUnprocessableEntity, ask{method: "GET", path: Base + "/parts/HS-010/minutes?mix=plane=100"})
}

// TestTablesOfRecords reads the table of every kind, and of the lists of the rules, previews
// it as it is, and takes in a new row.
func TestTablesOfRecords(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	const base = "/api/v1/tables/"
	csv := map[string]string{"Content-Type": "text/csv"}
	for _, name := range append(change.Kinds(), "rules.taxes") {
		for _, marks := range []string{"", "?separator=%3B&decimal=%2C"} {
			table := w.want(t, 200, ask{method: "GET", path: base + name + marks}).Body.String()
			if out := w.operations(t, 200, ask{method: "POST", path: base + name + "?preview=true", body: table, header: csv}); len(out.Records) > 0 || out.Written {
				t.Errorf("%s%s: %+v", name, marks, out)
			}
		}
	}
	const table = "id,name\nNEW,A new supplier\n"
	preview := w.operations(t, 200, ask{method: "POST", path: base + "suppliers?preview=true", body: table, header: csv})
	if len(preview.Records) != 1 || preview.Records[0].Did != "added" || preview.Records[0].ID != "NEW" || len(preview.Lacking) > 0 {
		t.Errorf("%+v", preview)
	}
	w.want(t, 428, ask{method: "POST", path: base + "suppliers", body: table, header: csv})
	match := map[string]string{"Content-Type": "text/csv", "If-Match": `"` + string(preview.Version) + `"`}
	if done := w.operations(t, 200, ask{method: "POST", path: base + "suppliers", body: table, header: match}); !done.Written || done.Version == preview.Version {
		t.Errorf("%+v", done)
	}
	w.want(t, 412, ask{method: "POST", path: base + "suppliers", body: table, header: match})
	w.want(t, 200, ask{method: "GET", path: "/api/v1/suppliers/NEW"})
	w.want(t, 400, ask{method: "GET", path: base + "suppliers?separator=,&decimal=,"})
	for _, name := range []string{"prizes", "rules.nothing", "offers.breaks"} {
		w.want(t, 404, ask{method: "GET", path: base + name})
	}
}
