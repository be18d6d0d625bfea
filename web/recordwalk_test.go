package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"kerfbook/costing/book/record"
)

const (
	boughtPart = "number: CLIP-3\nname: wire clip\nkind: bought\n"
	itsOffer   = "for: CLIP-3\nsupplier: DRUSAVEL\nunit: piece\ncurrency: EUR\nbreaks: [{from: 1, price: 0.30}]\n"
)

// A new bought part and its offer are saved with one form in a browser.
func TestPartWithItsOffer(t *testing.T) {
	inBrowser(t)
	s := demoShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/book/parts")
	c.press(`main a[href="/book/parts/new"]`)
	c.fill("#f-number", "CLIP-3")
	c.fill("#f-name", "wire clip")
	c.choose("#f-kind", "bought")
	c.press("button[name=add][value=offers]")
	c.expect("main", "Another record, saved with it: offer")
	if got := eval[string](c.tab, `document.querySelector("#f-beside-0--for").value`); got != "CLIP-3" {
		t.Errorf("the offer begins with %q", got)
	}
	c.choose("#f-beside-0--supplier", "DRUSAVEL")
	c.choose("#f-beside-0--unit", "piece")
	c.fill("#f-beside-0--breaks-0--price", "0.30")
	c.press("#form button[value=save]")
	c.expect("h1", "wire clip")
	c.atMost("a new bought part with its offer", 6, 3, 3)
	_, offer := s.signIn(t).get("/book/offers/CLIP-3.DRUSAVEL")
	if !strings.Contains(offer, "CLIP-3 from DRUSAVEL") {
		t.Error("the offer is not there")
	}
}

// The same one after the other: the part says what it lacks and leads to the form
// for it. What is wrong with either text is said, and nothing of it is lost.
func TestPartThenItsOffer(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	code, body := b.post("/book/parts", url.Values{"text": {boughtPart}})
	checkPage(t, "part", body)
	if code != http.StatusOK || !strings.Contains(body, "the bought part CLIP-3 has no offer") || !strings.Contains(body, `href="/book/offers/new?for=CLIP-3"`) {
		t.Fatalf("a bought part without an offer: %d\n%s", code, body)
	}
	if start := b.page("/"); !strings.Contains(start, "Glow") {
		t.Error("a part that nothing uses takes the prices away")
	}
	if form := b.page("/book/offers/new?for=CLIP-3"); !strings.Contains(form, `name="for" type="text" value="CLIP-3"`) {
		t.Error("the form of the offer does not begin with the part")
	}
	if code, body := b.post("/book/offers", url.Values{"text": {itsOffer}}); code != http.StatusOK || !strings.Contains(body, "Saved in your book.") {
		t.Errorf("the offer: %d", code)
	}
	if part := b.page("/book/parts/CLIP-3"); strings.Contains(part, "has no offer") {
		t.Error("the part still lacks its offer")
	}
	both := url.Values{"text": {strings.ReplaceAll(boughtPart, "CLIP-3", "CLIP-4")}, "beside.0.kind": {"offers"},
		"beside.0.text": {strings.ReplaceAll(strings.ReplaceAll(itsOffer, "CLIP-3", "CLIP-4"), "piece", "sheet")}}
	code, body = b.post("/book/parts", both)
	checkPage(t, "faulty", body)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "a part that is counted by the piece is not bought by sheet") || !strings.Contains(body, "unit: sheet") {
		t.Errorf("a faulty offer beside a part: %d", code)
	}
	if code, _ := b.get("/book/parts/CLIP-4"); code != http.StatusNotFound {
		t.Errorf("the part was saved without its offer: %d", code)
	}
	both.Set("beside.0.text", "for: CLIP-4\nsupplier: \nunit: \ncurrency: \nbreaks: \n")
	if code, _ := b.post("/book/parts", both); code != http.StatusOK {
		t.Errorf("an offer that was opened and left empty is in the way: %d", code)
	}
}

// The first record of an empty database is the shop, through the page.
func TestFirstRecord(t *testing.T) {
	t.Parallel()
	b := emptyShop(t).signIn(t)
	if shelf := b.page("/book"); !strings.Contains(shelf, `href="/book/shop/new"`) {
		t.Error("nothing leads to the form of the shop")
	}
	code, body := b.post("/book/suppliers", url.Values{"text": {"id: A\nname: Exemplo\n"}})
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "begin with the shop") {
		t.Errorf("a supplier before the shop: %d", code)
	}
	code, body = b.post("/book/shop", url.Values{"text": {"name: Oficina\ncountry: \"PT\"\ncurrency: EUR\n"}})
	if code != http.StatusOK || !strings.Contains(body, "Oficina") {
		t.Fatalf("the shop: %d\n%s", code, body)
	}
	if code, body := b.post("/book/suppliers", url.Values{"text": {"id: A\nname: Exemplo\n"}}); code != http.StatusOK || !strings.Contains(body, "Exemplo") {
		t.Errorf("a supplier after the shop: %d", code)
	}
	for _, address := range []string{"/", "/trims", "/parts", "/landed", "/rates", "/quotes", "/quotes/new", "/book", "/book/export", "/changes", "/spread", "/curve", "/compare"} {
		if code, _ := b.get(address); code >= http.StatusInternalServerError {
			t.Errorf("%s: %d", address, code)
		}
	}
}

// TestBookEmptied takes every record of the demo out through the pages. What still
// refers to one is named before it goes, every page answers on the way, and the
// shop goes last.
func TestBookEmptied(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	records, presses, asked := 0, 0, 0
	for _, k := range record.Kinds() {
		if k.Name == record.ShopKind {
			continue
		}
		for _, address := range linksTo(b, "/book/"+k.Name) {
			edit := b.page(address + "/edit") // from the list to the record, to its form
			records, presses = records+1, presses+3
			form := url.Values{"version": {hidden(t, edit, "version")}}
			code, body := b.post(address+"/remove", form)
			if strings.Contains(body, "Remove it all the same") {
				if !strings.Contains(body, `<li class="warning`) {
					t.Fatalf("%s: nothing is named that refers to it", address)
				}
				checkPage(t, address, body)
				asked, presses = asked+1, presses+1
				form.Set("sure", "yes")
				code, body = b.post(address+"/remove", form)
			}
			if code != http.StatusOK || !strings.Contains(body, "Removed.") {
				t.Fatalf("%s is not removed: %d", address, code)
			}
		}
		for _, page := range []string{"/", "/trims", "/parts", "/landed", "/rates", "/quotes/new", "/book", "/book/export", "/spread", "/curve", "/compare"} {
			if code, _ := b.get(page); code >= http.StatusInternalServerError {
				t.Errorf("%s without %s: %d", page, k.Name, code)
			}
		}
	}
	edit := b.page("/book/shop/shop/edit")
	if code, body := b.post("/book/shop/shop/remove", url.Values{"version": {hidden(t, edit, "version")}}); code != http.StatusOK || !strings.Contains(body, "Removed.") {
		t.Errorf("the shop is not removed: %d", code)
	}
	if shelf := b.page("/book"); !strings.Contains(shelf, "The book is empty") {
		t.Error("the book is not empty")
	}
	t.Logf("%d records: %d presses, no fields; %d times what still refers was shown first", records+1, presses+3, asked)
	if records < 80 || asked < 20 {
		t.Errorf("%d records, %d asked about", records, asked)
	}
}

// linksTo lists the addresses of the records of a list.
func linksTo(b *browser, list string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`<th scope="row"><a class="name" href="(`+list+`/[^"]+)"`).FindAllStringSubmatch(b.page(list), -1) {
		out = append(out, unescaped(m[1]))
	}
	return out
}
