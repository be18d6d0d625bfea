package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// From an empty shop: a material and a set of tools that ship with the program come into
// the book with two presses and a word each.
func TestStartersInABrowser(t *testing.T) {
	inBrowser(t)
	s := emptyShop(t)
	b := s.signIn(t)
	if code, _ := b.post("/book/shop", url.Values{"text": {"name: Oficina\ncountry: \"PT\"\ncurrency: EUR\n"}}); code != http.StatusOK {
		t.Fatalf("the shop: %d", code)
	}
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/book/materials")
	c.press(`main a[href="/book/materials/starters"]`)
	c.fill("#f-search", "1.4404")
	for !strings.HasSuffix(c.where(), "search=1.4404") { // the list follows what is typed
		c.do(chromedp.Sleep(100 * time.Millisecond))
	}
	c.do(chromedp.Click(`#answer input[value="stainless-316l"]`))
	c.press(`#answer form button`)
	c.expect("h1", "316L")
	c.expect("main", "reference material stainless-316l, looked at 2026-11-28")
	c.atMost("a material that ships with the program", 2, 1, 2)
	c.visit("/book/tools")
	c.press(`main a[href="/book/tools/starters"]`)
	c.do(chromedp.Click(`input[value="small-lathe"]`))
	c.press(`form:has(input[value="small-lathe"]) button`)
	c.expect("main", "BORING-16")
	c.atMost("a set of tools that ships with the program", 2, 0, 2)
	if code, _ := b.post("/book/work_centres", url.Values{"text": {"id: SAW-1\nname: small mill\nmachines: 1\n"}}); code != http.StatusOK {
		t.Fatalf("the work centre: %d", code)
	}
	c.visit("/book/work_centres")
	c.press(`main a[href="/book/work_centres/starters"]`)
	c.press(`main a[href="/book/work_centres/SAW-1/edit?take=setup-mill"]`)
	if took := b.page("/book/work_centres/SAW-1"); strings.Contains(took, "program tried out") {
		t.Error("a set-up counts before it was looked at and saved")
	}
	c.press("#form button[value=save]")
	c.expect("main", "program tried out")
	c.expect("main", "starter setup-mill, looked at 2026-11-29")
	c.atMost("a set-up that ships with the program", 3, 0, 3)
}

// What a starter does is said before it is taken: which records come, which of the
// book's own stay as they are, and which operations may take one of its tools. Nothing
// changes by looking; a book without a shop takes nothing in.
func TestStartersSayWhatTheyDo(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	before := b.page("/book/export")
	sets := b.page("/book/tools/starters")
	checkPage(t, "sets", sets)
	if !strings.Contains(sets, "part HS-010, operation 30") || !strings.Contains(sets, "listed as not counted") {
		t.Error("it is not said which operations may take one of the tools, or that their edges cost nothing yet")
	}
	if b.page("/book/export") != before {
		t.Error("looking changes the book")
	}
	if code, body := b.post("/book/tools", url.Values{"text": {"id: END-MILL-6\nname: my end mill\nkind: end_mill\ndiameter_mm: 6\nedge_cost: 11\n"}}); code != http.StatusOK {
		t.Fatalf("an own tool: %d\n%s", code, body)
	}
	if sets := b.page("/book/tools/starters?search=small+mill"); !strings.Contains(sets, "In your book already: 1, which stay as they are") {
		t.Error("it is not said that a tool is there already")
	}
	if code, body := b.post("/book/tools/starters", url.Values{"name": {"small-mill"}}); code != http.StatusOK || !strings.Contains(body, "Taken into the book") {
		t.Errorf("the set: %d", code)
	}
	if own := b.page("/book/tools/END-MILL-6"); !strings.Contains(own, "my end mill") {
		t.Error("a tool of the book was written over")
	}
	if setups := b.page("/book/work_centres/starters"); !strings.Contains(setups, "/book/work_centres/MILL/edit?take=setup-mill") || strings.Contains(setups, "/book/work_centres/GAUGE/") {
		t.Error("a set-up is not offered to the mill, or to the measuring room")
	}
	if taken := b.page("/book/tools/END-MILL-8"); !strings.Contains(taken, "starter set small-mill") || strings.Contains(taken, "edge cost") {
		t.Error("a tool that was taken does not say whence it is, or has a cost of an edge")
	}
	if start := b.page("/"); !strings.Contains(start, "edge_cost and a life of the tools") && !strings.Contains(start, "tool wear") {
		t.Error("nothing says that edges are not counted now")
	}
	if code, _ := b.post("/book/tools/starters", url.Values{"name": {"nowhere"}}); code != http.StatusNotFound {
		t.Errorf("a starter that is not there: %d", code)
	}
	if code, _ := b.get("/book/parts/starters"); code != http.StatusNotFound {
		t.Errorf("parts to begin with: %d", code)
	}
	if code, body := emptyShop(t).signIn(t).post("/book/materials/starters", url.Values{"name": {"abs"}}); code != http.StatusUnprocessableEntity || !strings.Contains(body, "begin with the shop") {
		t.Errorf("a material before the shop: %d", code)
	}
}

// A size of stock opens the form of a new one filled in, with the material where the shop
// has one of its kind; saved, it is stock of the shop.
func TestStockSizesAreTaken(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	list := b.page("/book/stocks")
	if !strings.Contains(list, `href="/book/stocks/starters"`) {
		t.Error("the list of stock does not lead to the sizes")
	}
	sizes := b.page("/book/stocks/starters?search=hexagonal+brass")
	checkPage(t, "sizes", sizes)
	const take = "/book/stocks/new?take=brass-hexagon&amp;size=brass-hexagon-5.5"
	if !strings.Contains(sizes, `href="`+take+`"`) || strings.Contains(sizes, "steel-round") {
		t.Fatalf("the size is not offered:\n%s", sizes)
	}
	form := b.page(strings.ReplaceAll(take, "&amp;", "&") + "&tab=text")
	checkPage(t, "new stock", form)
	for _, line := range []string{"id: brass-hexagon-5.5\n", "form: hexagon\n", "across_flats_mm: 5.5\n", "length_mm: 3000\n", "material: "} {
		if !strings.Contains(form, line) {
			t.Errorf("the form lacks %q", line)
		}
	}
	// Of copper the demo has one material.
	if flat := b.page("/book/stocks/new?take=copper-flat&size=copper-flat-40x10&tab=text"); !strings.Contains(flat, "material: CU-ETP\n") {
		t.Error("the one copper of the book is not filled in")
	}
	text := "id: brass-hexagon-5.5\nname: hexagonal bar 5.5\nmaterial: CU-ETP\nform: hexagon\nlength_mm: 3000\nacross_flats_mm: 5.5\n"
	if code, body := b.post("/book/stocks", url.Values{"text": {text}}); code != http.StatusOK || !strings.Contains(body, "brass-hexagon-5.5") {
		t.Errorf("saved: %d", code)
	}
}

// TestMachinesByTickBox: what an hour of each comes to is seen first; the ticked ones
// become work centres with their origin, and nothing else does.
func TestMachinesByTickBox(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	b := s.signIn(t)
	says(t, "without a shop", b.page("/book/work_centres/starters"), "There is no shop yet", "small lathe", "/0/at_half_the_hours/value")
	if code, _ := b.post("/book/shop", url.Values{"text": {"name: Oficina\ncountry: CH\ncurrency: CHF\n"}}); code != http.StatusOK {
		t.Fatalf("the shop: %d", code)
	}
	page := b.page("/book/work_centres/starters")
	checkPage(t, "machines", page)
	says(t, "machines", page, "taken over as CHF", `value="machine-lathe-small"`)
	code, page := b.post("/book/work_centres/starters", url.Values{"name": {"machine-lathe-small", "machine-saw-band"}})
	if code != http.StatusOK {
		t.Fatalf("taking two: %d\n%s", code, page)
	}
	checkPage(t, "taken", page)
	says(t, "the work centres", page, "LATHE-SMALL", "SAW-BAND", "Taken into the book")
	if strings.Contains(page, "LATHE-BAR") {
		t.Error("a machine came that was not ticked")
	}
	says(t, "one of them", b.page("/book/work_centres/LATHE-SMALL"), "starter machine-lathe-small, looked at 2026-11-29; from memory", "22000")
	says(t, "machines again", b.page("/book/work_centres/starters"), "in your book", `value="machine-lathe-bar"`)
	if code, _ := b.post("/book/work_centres/starters", url.Values{"name": {"machine-of-nobody"}}); code != http.StatusNotFound {
		t.Errorf("a machine that is none: %d", code)
	}
}

// TestTakenIsConfirmed: materials and sets of tools come several at once, one record each
// though two sets have a tool in common; each says that nobody has confirmed it, until
// somebody does, and says then who and what it came as.
func TestTakenIsConfirmed(t *testing.T) {
	t.Parallel()
	b := emptyShop(t).signIn(t)
	if code, _ := b.post("/book/shop", url.Values{"text": {"name: Oficina\ncountry: \"PT\"\ncurrency: EUR\n"}}); code != http.StatusOK {
		t.Fatalf("the shop: %d", code)
	}
	for kind, names := range map[string][]string{"materials": {"stainless-316l", "abs"}, "tools": {"small-lathe", "small-mill", "taps"}, "work_centres": {"machine-lathe-small"}} {
		page := b.page("/book/" + kind + "/starters")
		for _, name := range names {
			says(t, kind, page+b.page("/book/"+kind+"/starters?search="+name), `value="`+name+`"`)
		}
		if code, page := b.post("/book/"+kind+"/starters", url.Values{"name": names}); code != http.StatusOK {
			t.Fatalf("%s: %d\n%s", kind, code, page)
		}
		list := b.page("/book/" + kind)
		checkPage(t, kind, list)
		says(t, kind, list, "not confirmed", "Confirm what is ticked")
	}
	one := b.page("/book/materials/stainless-316l")
	checkPage(t, "one of them", one)
	says(t, "one of them", one, "not confirmed", "as it came with the program")
	code, all := b.post("/book/materials/confirm", url.Values{"name": {"stainless-316l", "abs"}})
	if code != http.StatusOK || strings.Contains(all, "not confirmed") {
		t.Errorf("both confirmed: %d", code)
	}
	says(t, "one of them", b.page("/book/materials/stainless-316l"), "confirmed by ", "it came as: reference material stainless-316l")
	code, lathe := b.post("/book/work_centres/confirm", url.Values{"name": {"LATHE-SMALL"}})
	if says(t, "the lathe", lathe, "it came as: starter machine-lathe-small", "22000"); code != http.StatusOK || strings.Contains(lathe, "not confirmed") {
		t.Errorf("the lathe confirmed: %d", code)
	}
	if code, _ := b.post("/book/tools/confirm", url.Values{"name": {"NOWHERE"}}); code != http.StatusNotFound {
		t.Errorf("a tool that is none: %d", code)
	}
}
