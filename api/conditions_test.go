package api

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"

	"kerfbook/api/edge"
	"kerfbook/costing/book"
	"kerfbook/testdata"
)

// TestChangesNeedTheirVersion tries a change of a record without its version,
// with one that is old, and with the present one.
func TestChangesNeedTheirVersion(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	path := "/api/v1/suppliers/DRUSAVEL"
	body := `{"id":"DRUSAVEL","name":"Drusavel e Filhos"}`
	first := w.want(t, 200, ask{method: "GET", path: path}).Header().Get("ETag")
	before := w.rows(t)
	for _, method := range []string{"PUT", "DELETE"} {
		q := ask{method: method, path: path}
		if method == "PUT" {
			q.body = body
		}
		if p := w.problem(t, 428, q); p.Code != edge.VersionMissing {
			t.Errorf("%+v", p)
		}
		for tag, status := range map[string]int{`"0-stale"`: 412, `*`: 400, `"*"`: 400, `W/` + first: 400, `nonsense`: 400} {
			q.header = map[string]string{"If-Match": tag}
			w.problem(t, status, q)
		}
	}
	w.problem(t, 412, ask{method: "PUT", path: path, body: body, header: map[string]string{"If-None-Match": "*"}})
	if w.rows(t) != before {
		t.Fatal("a refused change changed something")
	}
	put := w.want(t, 200, ask{method: "PUT", path: path, body: body, header: map[string]string{"If-Match": first}})
	second := put.Header().Get("ETag")
	if got := into[recordOut](t, put); got.Revision != 2 || got.Name != "Drusavel e Filhos" || second == first || edge.ETag(string(got.Version)) != second {
		t.Errorf("%+v with %s after %s", got, second, first)
	}
	w.problem(t, 412, ask{method: "PUT", path: path, body: body, header: map[string]string{"If-Match": first}})
	old := w.want(t, 200, ask{method: "GET", path: path + "?revision=1"})
	if old.Header().Get("ETag") != first || !strings.Contains(old.Body.String(), "Drusavel Componentes") {
		t.Errorf("the first revision: %s", old.Body)
	}
	if h := into[recordPage](t, w.want(t, 200, ask{method: "GET", path: path + "/revisions"})); len(h.Items) != 2 || h.Items[0].Revision != 2 {
		t.Errorf("%+v", h)
	}
}

func TestSomethingNewAndItsEnd(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	path := "/api/v1/suppliers/NOVO"
	w.problem(t, 404, ask{method: "GET", path: path})
	q := ask{method: "PUT", path: path, body: "id: NOVO\nname: Novo Exemplo\n", header: map[string]string{"If-None-Match": "*", "Content-Type": "application/yaml"}}
	tag := w.want(t, 201, q).Header().Get("ETag")
	w.problem(t, 412, q)
	w.want(t, 204, ask{method: "DELETE", path: path, header: map[string]string{"If-Match": tag}})
	w.want(t, 404, ask{method: "GET", path: path})
	if h := into[recordPage](t, w.want(t, 200, ask{method: "GET", path: path + "/revisions"})); len(h.Items) != 2 || !h.Items[0].Deleted {
		t.Errorf("%+v", h)
	}
}

// TestOneOfManyWins changes the same version fifty times at once.
func TestOneOfManyWins(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	path := "/api/v1/suppliers/DRUSAVEL"
	tag := w.want(t, 200, ask{method: "GET", path: path}).Header().Get("ETag")
	statuses := make([]int, 50)
	var wg sync.WaitGroup
	for i := range statuses {
		wg.Go(func() {
			statuses[i] = w.do(ask{method: "PUT", path: path, header: map[string]string{"If-Match": tag},
				body: fmt.Sprintf(`{"id":"DRUSAVEL","name":"Drusavel %d"}`, i)}).Code
		})
	}
	wg.Wait()
	slices.Sort(statuses)
	if statuses[0] != 200 || statuses[1] != 412 || statuses[49] != 412 {
		t.Errorf("%v", statuses)
	}
}

// TestUnchangedAnswers asks again with the tag of the answer before.
func TestUnchangedAnswers(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	for _, q := range []ask{
		{method: "GET", path: "/api/v1/shop"},
		{method: "GET", path: "/api/v1/book"},
		{method: "GET", path: "/api/v1/book", header: map[string]string{"Accept": jsonType}},
		{method: "GET", path: "/api/v1/price-lists?quantities=50,100&trims=plain"},
		{method: "GET", path: "/api/v1/proofs?mix=plain=100&key=variant/plain/each/stock"},
		{method: "GET", path: "/api/v1/openapi.yaml"},
	} {
		first := w.want(t, 200, q)
		tag := first.Header().Get("ETag")
		if second := w.want(t, 200, q); second.Body.String() != first.Body.String() || second.Header().Get("ETag") != tag || tag == "" {
			t.Errorf("%s answers differently the second time", q.path)
		}
		q.header = map[string]string{"If-None-Match": tag, "Accept": q.header["Accept"]}
		if again := w.want(t, 304, q); again.Body.Len() != 0 || again.Header().Get("ETag") != tag {
			t.Errorf("%s: %d bytes, %v", q.path, again.Body.Len(), again.Header())
		}
		if q.path == "/api/v1/openapi.yaml" {
			continue
		}
		w.rename(t, "After "+q.path+q.header["Accept"])
		if strings.Contains(q.path, "proofs") { // does not say the name of the shop
			continue
		}
		if after := w.want(t, 200, q); after.Header().Get("ETag") == tag || after.Body.String() == first.Body.String() {
			t.Errorf("%s does not see the change", q.path)
		}
	}
}

// TestTheTwoFormsOfTheBook reads the book both ways and imports each again.
func TestTheTwoFormsOfTheBook(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	text := w.want(t, 200, ask{method: "GET", path: "/api/v1/book"})
	asJSON := w.want(t, 200, ask{method: "GET", path: "/api/v1/book", header: map[string]string{"Accept": "application/json"}})
	if text.Header().Get("ETag") == asJSON.Header().Get("ETag") || asJSON.Header().Get("Content-Type") != jsonType {
		t.Errorf("%v, %v", text.Header(), asJSON.Header())
	}
	a, _, err := book.Parse(text.Body.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	b, _, err := book.Parse(asJSON.Body.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	one, _ := a.Write()
	two, _ := b.Write()
	if string(one) != string(two) || len(one) < 10_000 {
		t.Error("the two forms are different books")
	}
	before := w.rows(t)
	for i, form := range []*http.Header{ptr(text.Header()), ptr(asJSON.Header())} {
		body := []string{text.Body.String(), asJSON.Body.String()}[i]
		got := into[importAnswer](t, w.want(t, 200, ask{method: "PUT", path: "/api/v1/book", body: body, header: map[string]string{
			"If-Match": form.Get("ETag"), "Content-Type": form.Get("Content-Type"), "Idempotency-Key": fmt.Sprint("same-", i)}}))
		if got.Created+got.Changed+got.Deleted != 0 || got.Unchanged < 50 {
			t.Errorf("%+v", got)
		}
	}
	_ = before
}

func ptr[T any](v T) *T { return &v }

// TestImportsHappenOnce sends an import twice under one key.
func TestImportsHappenOnce(t *testing.T) {
	t.Parallel()
	w := empty(t)
	secret, _, err := w.service.CreateToken(t.Context(), maker, "all", maker.Scopes, noTime)
	if err != nil {
		t.Fatal(err)
	}
	w.tokens["all"] = secret
	w.problem(t, 404, ask{method: "GET", path: "/api/v1/book"})
	q := ask{method: "PUT", path: "/api/v1/book", body: string(testdata.Demo), header: map[string]string{
		"Content-Type": "text/yaml", "If-None-Match": "*"}}
	if p := w.problem(t, 400, q); p.Code != edge.KeyMissing {
		t.Errorf("%+v", p)
	}
	for _, bad := range []string{"two words", `quo"te`, strings.Repeat("x", 129), "ünicode"} {
		q.header["Idempotency-Key"] = bad
		w.problem(t, 400, q)
	}
	q.header["Idempotency-Key"] = `"8f1c"`
	first := w.want(t, 200, q)
	rows := w.rows(t)
	second := w.want(t, 200, q)
	if first.Body.String() != second.Body.String() || first.Header().Get("Idempotency-Replayed") != "" || second.Header().Get("Idempotency-Replayed") != "true" {
		t.Errorf("%s and %s with %v", first.Body, second.Body, second.Header())
	}
	if w.rows(t) != rows {
		t.Error("the second had an effect")
	}
	q.body += "# another\n"
	if p := w.problem(t, 422, q); p.Code != edge.KeyReused {
		t.Errorf("%+v", p)
	}
	q.header["Idempotency-Key"] = "new"
	w.problem(t, 412, q) // the book is there already
	if w.rows(t) != rows {
		t.Error("a refused import had an effect")
	}
}

// TestListsByCursor walks a list while it changes: what was not touched comes
// exactly once.
func TestListsByCursor(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	all := into[recordPage](t, w.want(t, 200, ask{method: "GET", path: "/api/v1/parts?page_size=9999"}))
	if all.Next != "" || len(all.Items) < 15 {
		t.Fatalf("%d parts, next %q", len(all.Items), all.Next)
	}
	seen := map[string]int{}
	path := "/api/v1/parts?page_size=3"
	for pages := 0; ; pages++ {
		page := into[recordPage](t, w.want(t, 200, ask{method: "GET", path: path}))
		for _, r := range page.Items {
			seen[r.ID]++
		}
		id := fmt.Sprintf("AA-%d", pages)
		w.want(t, 201, ask{method: "PUT", path: "/api/v1/suppliers/" + id, header: map[string]string{"If-None-Match": "*"},
			body: fmt.Sprintf(`{"id":%q,"name":"new"}`, id)})
		if page.Next == "" {
			break
		}
		path = "/api/v1/parts?page_size=3&after=" + page.Next
	}
	for _, r := range all.Items {
		if seen[r.ID] != 1 {
			t.Errorf("%s came %d times", r.ID, seen[r.ID])
		}
	}
	for _, bad := range []string{"/api/v1/parts?after=nonsense!", "/api/v1/suppliers?after=" + cursor("parts", "X")} {
		w.problem(t, 400, ask{method: "GET", path: bad})
	}
	for _, bad := range []string{"page_size=0", "page_size=-1", "page_size=x", "page_size=1&page_size=2", "size=1"} {
		if p := w.problem(t, 422, ask{method: "GET", path: "/api/v1/parts?" + bad}); len(p.Errors) != 1 || p.Errors[0].Parameter == "" {
			t.Errorf("%s: %+v", bad, p)
		}
	}
}

// TestKeptAnswersAskOnce: who holds a token and which version the book has are one
// statement, and an answer that is kept needs no other.
func TestKeptAnswersAskOnce(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	first := w.want(t, 200, ask{method: "GET", path: pricePath, token: "read"})
	held := map[string]string{"If-None-Match": first.Header().Get("ETag")}
	for status, header := range map[int]map[string]string{200: nil, 304: held} {
		before := w.asked.times.Load()
		w.want(t, status, ask{method: "GET", path: pricePath, token: "read", header: header})
		if times := w.asked.times.Load() - before; times != 1 {
			t.Errorf("%d asks the database %d times", status, times)
		}
	}
	change := `{"id":"DRUSAVEL","name":"Drusavel e Filhos"}`
	w.want(t, 200, ask{method: "PUT", path: "/api/v1/suppliers/DRUSAVEL", body: change,
		header: map[string]string{"If-Match": w.want(t, 200, ask{method: "GET", path: "/api/v1/suppliers/DRUSAVEL"}).Header().Get("ETag")}})
	before := w.asked.times.Load()
	w.want(t, 304, ask{method: "GET", path: pricePath, token: "read", header: held}) // made again from the changed book, and the same
	if times := w.asked.times.Load() - before; times < 2 {
		t.Errorf("after a change the book is not looked at: %d", times)
	}
}
