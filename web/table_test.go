package web_test

import (
	"bytes"
	"context"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/costing/book/record"
)

// TestTablesOfEveryKind is the walk of a table: each kind is downloaded in two styles, read
// back without a change, and a changed one is looked at, saved and undone. It takes 4 presses.
func TestTablesOfEveryKind(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	kinds := []string{"rules.taxes", "rules.tariff"}
	for _, k := range record.Kinds() {
		kinds = append(kinds, k.Name)
	}
	for _, kind := range kinds {
		path := "/book/" + kind + "/table"
		for _, marks := range []string{"?separator=,&decimal=.", "?separator=%3B&decimal=%2C"} {
			code, table := b.get(path + ".csv" + marks)
			if code != http.StatusOK {
				t.Fatalf("%s%s: %d\n%s", path, marks, code, table)
			}
			if code, text := b.sendTable(path, table); code != http.StatusOK || !strings.Contains(text, "the book says all of this already") {
				t.Errorf("%s%s changes something: %d\n%.2000s", path, marks, code, textOf(parsed(t, text)))
			}
		}
	}
	const path = "/book/suppliers/table"
	for _, a := range []string{"/book/suppliers", path} {
		checkPage(t, a, b.page(a))
	}
	b.seesTable(path, "id\tname\tminimum charges asked\nORVENDA\tOrvenda metals\t\nNEU\tNeues Haus\t2\n")
	if code, text := b.sendTable(path, "id;nme\nNEU;x\n"); code != http.StatusUnprocessableEntity || !strings.Contains(text, "line 1, column 2 (nme): there is no column of this name; did you mean name?") {
		t.Errorf("a column of another name: %d", code)
	}
	if code, text := b.sendTable(path, "id;name;minimum charges asked\nA B;x;\nNEU;y;1,5\n"); code != http.StatusUnprocessableEntity || !strings.Contains(text, "line 2, column 1 (id): ") || !strings.Contains(text, "line 3, column 3 (minimum charges asked): ") {
		t.Errorf("faults: %d", code)
	}
	for _, address := range []string{"/book/nothing/table", "/book/rules.nothing/table", "/book/offers.breaks/table.csv"} {
		if code, _ := b.get(address); code != http.StatusNotFound {
			t.Errorf("%s: %d", address, code)
		}
	}
}

// seesTable looks at a table of suppliers, saves it and undoes it.
func (b *browser) seesTable(path, table string) {
	t := b.t
	t.Helper()
	before := b.page("/book/suppliers")
	code, text := b.sendTable(path, table)
	doc := parsed(t, text)
	checkPage(t, "the preview", text)
	if code != http.StatusOK {
		t.Fatalf("%d", code)
	}
	says(t, "the preview", textOf(doc), "1 added, 1 changed, 0 as before", "supplier NEU added", "supplier ORVENDA changed")
	form := url.Values{"act": {"import"}, "table": {table}, "version": {attrOf(doc, "version")}, "why": {"a new supplier"}}
	if code, text = b.post(path, form); code != http.StatusOK || !strings.Contains(text, "as one change") || !strings.Contains(text, "NEU") {
		t.Errorf("saving gives %d", code)
	}
	if code, text = b.post(path, form); code != http.StatusUnprocessableEntity || !strings.Contains(text, "somebody else changed the book") {
		t.Errorf("saving again gives %d", code)
	}
	changes, _, err := b.shop.svc.History(context.Background(), service.ChangesOf{Told: 1}, 1)
	if err != nil || len(changes) != 1 || changes[0].Reason != "a new supplier" || len(changes[0].Records) != 2 {
		t.Fatalf("%+v, %v", changes, err)
	}
	if code, _ := b.post(fmt.Sprintf("/changes/%d/undo", changes[0].Seq), url.Values{}); code != http.StatusOK {
		t.Errorf("undoing gives %d", code)
	}
	if _, err := b.shop.svc.Record(context.Background(), "suppliers", "NEU", 0); answer.CodeOf(err) != answer.NotFound || strings.Contains(before, "NEU") {
		t.Errorf("the new supplier stayed: %v", err)
	}
}

// TestOperationsComeAndGoAsTables downloads the table of a part, changes it, looks at
// what it would do, and saves it.
func TestOperationsComeAndGoAsTables(t *testing.T) {
	t.Parallel()
	s := featureShop(t)
	b := s.signIn(t)
	checkPage(t, "import", b.page("/parts/HS-110/import"))
	r, err := b.Get(s.URL + "/parts/HS-110/operations.csv")
	code, table := b.read(r, err)
	if code != http.StatusOK || r.Header.Get("Content-Type") != "text/csv; charset=utf-8" || !strings.HasPrefix(table, "\xEF\xBB\xBF\"operation\",\"feature\"") {
		t.Fatalf("%d %s\n%s", code, r.Header.Get("Content-Type"), table)
	}
	code, text := b.sendTable("/parts/HS-110/import", table)
	if checkPage(t, "nothing new", text); code != http.StatusOK || !strings.Contains(text, "the book says all of this already") {
		t.Errorf("the table that was downloaded changes something: %d", code)
	}
	for _, marks := range []string{"separator=%3B&decimal=%2C", "separator=tab&decimal=%2C", "separator=%3B&decimal=."} {
		code, other := b.get("/parts/HS-110/operations.csv?" + marks)
		if code != http.StatusOK || other == table {
			t.Errorf("%s: %d\n%s", marks, code, other)
		}
		if code, text = b.sendTable("/parts/HS-110/import", other); code != http.StatusOK || !strings.Contains(text, "the book says all of this already") {
			t.Errorf("the table with %s changes something: %d", marks, code)
		}
	}
	if code, _ := b.get("/parts/HS-110/operations.csv?separator=,&decimal=,"); code != http.StatusBadRequest {
		t.Errorf("a comma for both gives %d", code)
	}
	thinner := strings.Replace(table, `"1","1","yes"`, `"1","0.6","yes"`, 1)
	code, text = b.sendTable("/parts/HS-110/import", thinner)
	doc := parsed(t, text)
	checkPage(t, "a change", text)
	if code != http.StatusOK {
		t.Errorf("%d", code)
	}
	says(t, "the page", textOf(doc), "0 added, 1 changed, 0 as before", "part HS-110 changed", "fin width, mm: 1 → 0.6")
	form := url.Values{"act": {"import"}, "table": {thinner}, "version": {attrOf(doc, "version")}}
	if code, text = b.post("/parts/HS-110/import", form); code != http.StatusOK || !strings.Contains(text, "The table is taken in, as one change") {
		t.Errorf("saving gives %d", code)
	}
	if code, text = b.post("/parts/HS-110/import", form); code != http.StatusUnprocessableEntity || !strings.Contains(text, "somebody else changed the book") {
		t.Errorf("saving again against the version before gives %d", code)
	}
	record, err := s.svc.Record(context.Background(), "parts", "HS-110", 0)
	if err != nil || record.Revision != 2 || !strings.Contains(string(record.Text), "fin_width_mm: 0.6") {
		t.Errorf("revision %d, %v", record.Revision, err)
	}
}

func TestFaultsOfATableAreAllListed(t *testing.T) {
	t.Parallel()
	s := featureShop(t)
	b := s.signIn(t)
	code, text := b.sendTable("/parts/HS-110/import", "operation,feature,name,kind,setup_min,depth_mm\n20,,mill,machining,x,\n20,P,pocket,pocketing,,1e3\n")
	checkPage(t, "faults", text)
	if code != http.StatusUnprocessableEntity || !strings.Contains(text, "Nothing was written.") {
		t.Errorf("%d", code)
	}
	words := textOf(parsed(t, text))
	says(t, "the page", words, `line 2, column 5 (setup_min): "x"`, "line 3, column 4 (kind):", `line 3, column 6 (depth_mm): "1e3"`)
	if code, _ := b.sendTable("/parts/HS-110/import", strings.Repeat("x", 1<<20+1)); code != http.StatusUnprocessableEntity {
		t.Errorf("a table that is too large gives %d", code)
	}
	if code, _ := b.get("/parts/HS-999/import"); code != http.StatusNotFound {
		t.Errorf("a part that is not there gives %d", code)
	}
	code, example := b.get("/parts/HS-110/import/example.csv")
	if code != http.StatusOK {
		t.Errorf("the example gives %d", code)
	}
	if code, text := b.sendTable("/parts/HS-110/import", example); code != http.StatusOK || !strings.Contains(text, "0 added, 1 changed") {
		t.Errorf("the example cannot be taken in: %d", code)
	}
}

// sendTable sends a table as a file, as a browser does.
func (b *browser) sendTable(path, table string) (int, string) {
	b.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	part := must(w.CreateFormFile("file", "table.csv"))(b.t)
	part.Write([]byte(table))
	w.WriteField("act", "check")
	w.Close()
	r, err := b.Post(b.shop.URL+path, w.FormDataContentType(), &body)
	return b.read(r, err)
}
