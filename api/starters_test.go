package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
)

// TestStarters: the list has each starter with the records that the book lacks, as
// saving several records takes them.
func TestStarters(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	out := w.do(ask{method: http.MethodGet, path: Base + "/starters", token: "read"})
	var list starterList
	if err := json.Unmarshal(out.Body.Bytes(), &list); err != nil || out.Code != http.StatusOK {
		t.Fatalf("%d, %v", out.Code, err)
	}
	for _, s := range list.Items {
		if s.Name == "brass-hexagon" && (len(s.Stocks) < 20 || len(s.Records) > 0 || !strings.Contains(string(s.Stocks[0]), `"material":"",`)) {
			t.Errorf("%d sizes, %s", len(s.Stocks), s.Stocks[0])
		}
		if s.Name != "taps" && s.Name != "steel-c45" {
			continue
		}
		records, err := json.Marshal(map[string]any{"records": s.Records})
		if err != nil || s.Source == "" || s.CheckedOn == "" {
			t.Fatalf("%v %+v", err, s)
		}
		if s.Name == "taps" && (len(s.Kept) != 1 || len(s.Open) != 1 || len(s.Records["tools"]) != 7) {
			t.Errorf("%d kept, %d open, %d records", len(s.Kept), len(s.Open), len(s.Records["tools"]))
		}
		done := w.do(ask{method: http.MethodPost, path: Base + "/records", token: "write", body: string(records), header: map[string]string{"Idempotency-Key": "take-" + s.Name}})
		if done.Code != http.StatusOK || !strings.Contains(done.Body.String(), `"written":true`) {
			t.Errorf("%s: %d %s", s.Name, done.Code, done.Body)
		}
	}
}
