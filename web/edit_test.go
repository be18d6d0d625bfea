package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"kerfbook/testdata"
)

// hidden gives the value of a hidden field on a page.
func hidden(t *testing.T, page, name string) string {
	t.Helper()
	m := regexp.MustCompile(`name="` + regexp.QuoteMeta(name) + `" value="([^"]*)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("the page has no field %s", name)
	}
	return unescaped(m[1])
}

const millRate = "key=work-centre/MILL/labour-rate&mix=plain%3D100&day=2026-11-25"

func TestWhatIfThenSave(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	text := b.page("/change?" + millRate + "&value=41.50")
	says(t, "the effect", text, "difference/variant/plain/each/full", "Save as the next revision", ">&#43;")
	if again := b.page("/book/work_centres/MILL"); strings.Contains(again, "41.5") {
		t.Fatal("asking what if has changed the book")
	}
	form, _ := url.ParseQuery(millRate)
	form.Set("value", "41.50")
	form.Set("version", hidden(t, text, "version"))
	if code, body := b.post("/change", form); code != http.StatusOK || !strings.Contains(body, "Saved as the next revision.") || !strings.Contains(body, "41.5") {
		t.Fatalf("save: %d", code)
	}
	revisions := b.page("/book/work_centres/MILL/revisions")
	checkPage(t, "revisions", revisions)
	code, body := b.post("/book/work_centres/MILL/restore", url.Values{"revision": {"1"}, "version": {hidden(t, revisions, "version")}})
	if code != http.StatusOK || !strings.Contains(body, "Restored as the next revision.") || strings.Contains(body, "41.5") {
		t.Errorf("restore: %d", code)
	}
}

func TestConflictLosesNothing(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	first := b.page("/change?" + millRate + "&value=41.50")
	form, _ := url.ParseQuery(millRate)
	form.Set("version", hidden(t, first, "version"))
	form.Set("value", "39")
	if code, _ := b.post("/change", form); code != http.StatusOK {
		t.Fatalf("the first to save: %d", code)
	}
	form.Set("value", "41.50")
	code, body := b.post("/change", form)
	checkPage(t, "conflict", body)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "Somebody else changed the book") || !strings.Contains(body, `value="41.50"`) || !strings.Contains(body, `data-value="39"`) {
		t.Fatalf("the second: %d", code)
	}
	form.Set("version", hidden(t, body, "version"))
	if code, body := b.post("/change", form); code != http.StatusOK || !strings.Contains(body, "41.5") {
		t.Errorf("saving again: %d", code)
	}
}

func TestRecordEditor(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	page := b.page("/book/work_centres/SAW/edit")
	version := hidden(t, page, "version")
	good := "id: SAW\nname: cold saw\nmachine_rate_per_h: 11.20\nlabour_rate_per_h: 21\n"
	code, body := b.post("/book/work_centres/SAW", url.Values{"text": {"id: SAW\nname: cold saw\nmachine_rate_per_h: eleven\n"}, "version": {version}})
	checkPage(t, "faulty", body)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "line 3, column") || !strings.Contains(body, "machine_rate_per_h: eleven") {
		t.Fatalf("a fault in the text: %d\n%s", code, body)
	}
	if code, body := b.post("/book/work_centres/SAW", url.Values{"text": {good}, "version": {version}}); code != http.StatusOK || !strings.Contains(body, "cold saw") {
		t.Fatalf("save: %d", code)
	}
	stale := strings.Replace(good, "cold saw", "mitre saw", 1)
	code, body = b.post("/book/work_centres/SAW", url.Values{"text": {stale}, "version": {version}})
	checkPage(t, "conflict", body)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "mitre saw") || !strings.Contains(body, "cold saw") {
		t.Errorf("a stale version: %d", code)
	}
}

func TestNewAndRemovedRecord(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	text := "id: GRIND\nname: surface grinder\nmachine_rate_per_h: 31\n"
	if code, body := b.post("/book/work_centres", url.Values{"text": {text}}); code != http.StatusOK || !strings.Contains(body, "surface grinder") {
		t.Fatalf("new: %d\n%s", code, body)
	}
	code, body := b.post("/book/work_centres", url.Values{"text": {text}})
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "already") {
		t.Errorf("new again: %d", code)
	}
	edit := b.page("/book/work_centres/GRIND/edit")
	if code, body := b.post("/book/work_centres/GRIND/remove", url.Values{"version": {hidden(t, edit, "version")}}); code != http.StatusOK || !strings.Contains(body, "Removed.") {
		t.Errorf("remove: %d", code)
	}
	edit = b.page("/book/work_centres/MILL/edit")
	if code, body := b.post("/book/work_centres/MILL/remove", url.Values{"version": {hidden(t, edit, "version")}}); code != http.StatusOK || !strings.Contains(body, "there is no work centre MILL") || !strings.Contains(body, "Remove it all the same") {
		t.Errorf("removing what parts need: %d", code)
	}
}

func TestImport(t *testing.T) {
	t.Parallel()
	b := emptyShop(t).signIn(t)
	broken := strings.Replace(string(testdata.Demo), "unit: hundred", "unit: sheet", 1)
	code, body := b.post("/book/import", url.Values{"act": {"check"}, "book": {broken}})
	checkPage(t, "faults", body)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "is not bought by sheet") || !strings.Contains(body, "line ") {
		t.Fatalf("faults: %d", code)
	}
	code, body = b.post("/book/import", url.Values{"act": {"check"}, "book": {strings.Replace(string(testdata.Demo), "work_centre: SAW", "work_centre: AXE", 1)}})
	checkPage(t, "lacking", body)
	if code != http.StatusOK || !strings.Contains(body, "something is missing") || !strings.Contains(body, "no work centre AXE") {
		t.Errorf("a book with a reference to nothing: %d", code)
	}
	code, body = b.post("/book/import", url.Values{"act": {"example"}})
	checkPage(t, "checked", body)
	if code != http.StatusOK || !strings.Contains(body, "Nothing is wrong with it") {
		t.Fatalf("check: %d", code)
	}
	if start := b.page("/"); !strings.Contains(start, "What would you like a price for?") || !strings.Contains(start, "Look round a lamp shop") {
		t.Fatal("checking has written something")
	}
	if code, body := b.post("/book/import", url.Values{"act": {"import"}, "book": {string(testdata.Demo)}}); code != http.StatusOK || !strings.Contains(body, "The book is imported.") {
		t.Fatalf("import: %d\n%s", code, body)
	}
	_, exported := b.get("/book/export")
	if code, _ := b.post("/book/import", url.Values{"act": {"import"}, "book": {exported}}); code != http.StatusUnprocessableEntity {
		t.Errorf("an import that names no version: %d", code)
	}
	if code, _ := b.post("/book/import", url.Values{"act": {"import"}, "book": {exported}, "version": {hidden(t, b.checked(exported), "version")}}); code != http.StatusOK {
		t.Errorf("the export as an import: %d", code)
	}
	if exported != string(testdata.Demo) {
		t.Error("the hand of the book's author is lost")
	}
	windows := strings.ReplaceAll(string(testdata.Demo), "\n", "\r\n")
	b.post("/book/import", url.Values{"act": {"import"}, "book": {windows}, "ends": {"windows"}, "version": {hidden(t, b.checked(exported), "version")}})
	if _, exported := b.get("/book/export"); exported != windows {
		t.Error("lines do not end as they did")
	}
}

// checked is the page that says that a book can be imported.
func (b *browser) checked(text string) string {
	b.t.Helper()
	_, body := b.post("/book/import", url.Values{"act": {"check"}, "book": {text}})
	return body
}

func TestTokens(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	code, body := b.post("/tokens", url.Values{"name": {""}, "expires": {"yesterday"}})
	checkPage(t, "faults", body)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, `href="#f-scopes"`) || !strings.Contains(body, `value="yesterday"`) {
		t.Fatalf("faults: %d", code)
	}
	code, body = b.post("/tokens", url.Values{"name": {"nightly export"}, "scopes": {"read", "quote"}, "expires": {"2027-06-30"}})
	checkPage(t, "made", body)
	m := regexp.MustCompile(`class="code secret">([^<]+)<`).FindStringSubmatch(body)
	if code != http.StatusOK || m == nil {
		t.Fatalf("make: %d", code)
	}
	if token, _, err := b.shop.svc.TokenOf(t.Context(), m[1]); err != nil || token.Name != "nightly export" {
		t.Errorf("the token: %v %v", token, err)
	}
	list := b.page("/shop")
	if strings.Contains(list, m[1]) || strings.Contains(b.shop.log.String(), m[1]) {
		t.Error("the secret is shown or logged again")
	}
	revoke := regexp.MustCompile(`action="(/tokens/[^"]+/revoke)"`).FindStringSubmatch(list)
	if code, _ := b.post(revoke[1], nil); code != http.StatusOK {
		t.Errorf("revoke: %d", code)
	}
	if _, _, err := b.shop.svc.TokenOf(t.Context(), m[1]); err == nil {
		t.Error("a revoked token still works")
	}
}

// TestListNamesWhatKeptItsLongerID: of two offers for the same stock the second has its day
// in its id, and keeps it when the first is gone.
func TestListNamesWhatKeptItsLongerID(t *testing.T) {
	t.Parallel()
	second := "  - {for: CU-60X20, supplier: ORVENDA, unit: kg, currency: EUR, breaks: [{from: 1, price: 13}], valid_until: 2031-12-31}\n"
	b := shopWith(t, []byte(strings.Replace(string(testdata.Demo), "  - for: CU-60X20\n    supplier: BARRAS\n", second+"  - for: CU-60X20\n    supplier: BARRAS\n", 1))).signIn(t)
	edit := b.page("/book/offers/CU-60X20.ORVENDA/edit")
	if code, body := b.post("/book/offers/CU-60X20.ORVENDA/remove", url.Values{"version": {hidden(t, edit, "version")}, "sure": {"yes"}}); code != http.StatusOK || !strings.Contains(body, "Removed.") {
		t.Fatalf("the first removed: %d", code)
	}
	found := false
	for _, row := range rowsOf(parsed(t, b.page("/book/offers")), "list") {
		if len(row) > 1 && row[1] == "CU-60X20.ORVENDA.2031-12-31" {
			found = true
			if row[0] != "CU-60X20 from ORVENDA" {
				t.Errorf("it is called %q", row[0])
			}
		}
	}
	if !found {
		t.Error("it is not in the list")
	}
}
