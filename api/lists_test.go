package api

import (
	"testing"
	"time"

	"kerfbook/api/service"
)

// TestListsAreNeverNull asks a book that has next to nothing, so that lists have nothing in
// them.
func TestListsAreNeverNull(t *testing.T) {
	t.Parallel()
	const lean = `{"kerfbook":1,"name":"A shop","country":"PT","currency":"EUR","rate_cards":[{"id":"card","from":"2026-01-01"}],
		"suppliers":[{"id":"S","name":"a supplier"}],"parts":[{"number":"A","name":"a part","kind":"bought"}],
		"offers":[{"for":"A","supplier":"S","unit":"piece","currency":"EUR","breaks":[{"from":"1","price":"2"}],"valid_until":"2036-01-01"}]}`
	w := empty(t)
	if _, err := w.service.ImportBook(t.Context(), maker, []byte(lean), ""); err != nil {
		t.Fatal(err)
	}
	secret, _, err := w.service.CreateToken(t.Context(), maker, "all", service.AllScopes, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	w.tokens["all"] = secret
	const mix = `"mix":[{"part":"A","quantity":"10"}],"day":"2026-11-25"`
	for _, c := range []struct{ path, stateless, body string }{
		{"/estimates", "", `{` + mix + `}`},
		{"/price-lists", "/stateless/price-list", `{"parts":["A"],"quantities":["10"],"all":true,"day":"2026-11-25"}`},
		{"/what-ifs", "", `{` + mix + `,"changes":[{"key":"book/offers/A.S/breaks[0].price","value":"3"}]}`},
		{"/spreads", "/stateless/spread", `{` + mix + `}`},
		{"/curves", "/stateless/curve", `{"curves":[{"part":"A"}],"from":"1","to":"5","day":"2026-11-25"}`},
		{"/bands", "", `{"part":"A","pieces":"10","day":"2026-11-25"}`},
		{"/comparisons", "/stateless/comparison", `{"before":{` + mix + `},"after":{` + mix + `}}`},
		{"/proofs", "/stateless/proof", `{` + mix + `,"key":"variant/A/each/full"}`},
	} {
		q := ask{method: "POST", path: Base + c.path, body: c.body}
		w.conforms(t, q, w.want(t, 200, q))
		if c.stateless != "" {
			q = ask{method: "POST", path: Base + c.stateless, body: `{"book":` + lean + `,"request":` + c.body + `}`}
			w.conforms(t, q, w.want(t, 200, q))
		}
	}
	for _, op := range operations(w.API) {
		q := w.sample(op)
		q.header = map[string]string{"Accept": jsonType}
		w.conforms(t, q, w.do(q))
	}
}
