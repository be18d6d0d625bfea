package api

import (
	"net/http"
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/store"
	"kerfbook/api/store/storetest"
)

// TestUnreadableRecord wants the record as text with the reason, the other figures,
// and the record to be put right.
func TestUnreadableRecord(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	st := must(store.Open(t.Context(), w.file))(t)
	storetest.Spoil(t, st)
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	const path = Base + "/parts/SH-POM"
	out := w.want(t, http.StatusOK, ask{method: "GET", path: path})
	seen := into[recordOut](t, out)
	if len(seen.Record) > 0 || !strings.Contains(seen.Text, "setup_pieces: 1.5") || len(seen.Unread) != 1 || seen.Unread[0].Path != "routing[0].setup_pieces" {
		t.Errorf("the record is shown as %s", out.Body)
	}
	prices := w.want(t, http.StatusOK, ask{method: "POST", path: Base + "/price-lists", body: `{"day":"2026-11-25","quantities":["100"]}`})
	list := into[answer.PriceList](t, prices)
	for _, e := range list.Estimates {
		if lacks := e.Mix[0].Trim == "plain"; lacks != (e.Variants[0].Full.AtLeast != "") || lacks != (e.Variants[0].Channels[0].ShelfNet.Value == "") || len(e.Findings) == 0 {
			t.Errorf("%s: full cost %+v, %v", e.Mix[0].Trim, e.Variants[0].Full, e.Findings)
		}
	}
	const plain = `{"day":"2026-11-25","mix":[{"product":"LAMP","trim":"plain","quantity":"100"}]`
	w.want(t, http.StatusOK, ask{method: "POST", path: Base + "/estimates", body: plain + "}"})
	if p := w.problem(t, http.StatusConflict, ask{method: "POST", path: Base + "/spreads", body: plain + "}"}); len(p.Errors) != 1 || p.Errors[0].Path != "parts" {
		t.Errorf("how sure a batch is that needs it: %+v", p)
	}
	if text := w.want(t, http.StatusOK, ask{method: "GET", path: Base + "/book"}).Body.String(); !strings.HasPrefix(text, "# parts SH-POM cannot be read") {
		t.Errorf("the text of the book begins %.80s", text)
	}
	w.problem(t, http.StatusUnprocessableEntity, ask{method: "GET", path: Base + "/book", header: map[string]string{"Accept": "application/json"}})
	w.want(t, http.StatusOK, ask{method: "PUT", path: path, body: strings.Replace(seen.Text, "setup_pieces: 1.5", "setup_pieces: 2", 1),
		header: map[string]string{"If-Match": out.Header().Get("ETag"), "Content-Type": yamlType}})
	if again := into[recordOut](t, w.want(t, http.StatusOK, ask{method: "GET", path: path})); len(again.Record) == 0 || again.Text != "" {
		t.Error("the record was put right and is still shown as text")
	}
}
