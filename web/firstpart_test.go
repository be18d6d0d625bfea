package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestFirstPrice is the walk: from an empty database to the band of a knob, of which
// way of making, material, size, hour and quantity are said.
func TestFirstPrice(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	t.Parallel()
	s := emptyShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/")
	c.press(`main a[href="/parts/first"]`)
	c.fill("#f-name", "brass knob")
	c.fields++
	eval[bool](c.tab, `(document.querySelector("#f-material").value = "brass") === "brass"`)
	c.fill("#f-length", "22")
	c.fill("#f-diameter", "20")
	c.fill("#f-hour", "58")
	c.fill("#f-pieces", "100")
	c.fill("#f-country", "PT") // the browser of the test says US
	c.fill("#f-currency", "EUR")
	c.atMost("nine answers", 1, 8, 1)
	c.press("#form button[type=submit]")
	c.expect("h1", "brass knob")
	c.expect("main", "100 at once: between 2.")
	c.atMost("a first price", 1, 0, 1)
	c.fill("#f-piece_min", "1.2")
	c.fill("#f-setup_min", "45")
	c.press("#form button[type=submit]")
	c.expect("main", "at first")
	c.atMost("what narrows it most", 1, 2, 1)
	c.expect("main", "Not counted yet")
	c.fill("#f-hand_min", "0.5")
	c.fill("#f-price_per_kg", "8.20")
	for _, what := range []string{"loading", "edges", "inspection", "scrap", "programming"} {
		c.do(chromedp.Click(chromedp.CSS(`input[name="not-counted-` + what + `"][value="in_rate"]`)))
		c.presses++
	}
	c.press("#form button[type=submit]")
	c.expect("main", "minutes on the machine, set-up")
	c.expect("main", "Nothing is guessed any more")
	c.atMost("the rest of it, and what is not counted", 6, 2, 1)
	c.fill("#f-margin", "40")
	c.press("#sell button[type=submit]")
	c.expect("h1", "brass knob")
	c.atMost("what it must sell for", 1, 1, 1)
	b := s.signIn(t)
	if start := b.page("/"); !strings.Contains(start, "brass knob") || !strings.Contains(start, "full cost of a piece") {
		t.Error("the start page has no cost of the knob")
	}
	if check := b.page("/book/parts/BRASS-KNOB"); !strings.Contains(check, "first guess") {
		t.Error("the record does not say that it is a first guess")
	}
}

// TestFirstPriceWithoutScripts walks the same way with a milled plate, by forms alone: band,
// answers, what is not counted, and the workbook to take away.
func TestFirstPriceWithoutScripts(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	b := s.signIn(t)
	code, band := b.post("/parts/first", url.Values{"name": {"plate"}, "way": {"milled"}, "material": {"aluminium-6082"}, "length": {"60"}, "width": {"40"}, "thickness": {"20"}, "hour": {"58"}, "pieces": {"100"}, "country": {"PT"}, "currency": {"EUR"}})
	checkPage(t, "band", band)
	if code != http.StatusOK || !strings.Contains(band, "What would narrow it most") || strings.Contains(band, "Not counted yet") {
		t.Fatalf("the band: %d", code)
	}
	answer := func(typed url.Values) (int, string) {
		typed.Set("version", hidden(t, band, "version"))
		typed.Set("pieces", "100")
		typed.Add("was", hidden(t, band, "was"))
		code, text := b.post("/parts/PLATE/first", typed)
		checkPage(t, "answered", text)
		return code, text
	}
	if code, text := answer(url.Values{}); code != http.StatusUnprocessableEntity || !strings.Contains(text, "Nothing is said yet") {
		t.Errorf("nothing said: %d", code)
	}
	if code, text := answer(url.Values{"piece_min": {"long"}, "setup_min": {"70"}}); code != http.StatusUnprocessableEntity || !strings.Contains(text, "enter a number such as 4.5") || !strings.Contains(text, `value="70"`) {
		t.Errorf("a wrong answer: %d", code)
	}
	code, text := answer(url.Values{"piece_min": {"6"}, "setup_min": {"1 h 10"}})
	if code != http.StatusOK || !strings.Contains(text, "at first") || !strings.Contains(text, "worn edges") || strings.Contains(text, "Minutes on the machine") {
		t.Errorf("two answers: %d", code)
	}
	if code, _ := answer(url.Values{"hand_min": {"2"}}); code != http.StatusUnprocessableEntity {
		t.Errorf("an answer to a page that is old: %d", code)
	}
	band = text
	code, text = answer(url.Values{"not-counted-edges": {"in_rate"}, "not-counted-scrap": {"none"}, "hand_min": {"2"}, "price_per_kg": {"6.5"}})
	if code != http.StatusOK || strings.Contains(text, `name="not-counted-edges"`) || !strings.Contains(text, "Nothing is guessed any more") {
		t.Errorf("the rest: %d", code)
	}
	record := b.page("/book/parts/PLATE")
	for _, want := range []string{"70", "6.5", "in_rate"} {
		if !strings.Contains(record, want) {
			t.Errorf("the record lacks %s", want)
		}
	}
	if file := b.page("/parts/PLATE/cost.xlsx?pieces=100"); !strings.HasPrefix(file, "PK") {
		t.Error("the workbook is none")
	}
}

// TestFirstPriceWithAGap: where something is missing the band is told as a lower bound,
// and no likely sum beside it as "withheld".
func TestFirstPriceWithAGap(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	b := s.signIn(t)
	code, band := b.post("/parts/first", url.Values{"name": {"plate"}, "way": {"milled"}, "material": {"aluminium-6082"}, "length": {"60"}, "width": {"40"}, "thickness": {"20"}, "hour": {"58"}, "pieces": {"100"}, "country": {"PT"}, "currency": {"EUR"}})
	if code != http.StatusOK || strings.Contains(band, "Not a whole cost yet") {
		t.Fatalf("a whole guess: %d, or told as lacking something", code)
	}
	stored := must(s.svc.Record(t.Context(), "parts", "PLATE", 0))(t)
	text := string(stored.Text) + "routing: [{number: 10, name: mill, kind: machining, work_centre: MILL}, {number: 20, name: drill, kind: machining, work_centre: MILL, features: [{id: H, name: holes, kind: drill, count: 2, diameter_mm: 5, depth_mm: 10}]}]\n"
	page := b.page("/book/parts/PLATE/edit")
	if code, answer := b.post("/book/parts/PLATE", url.Values{"version": {hidden(t, page, "version")}, "tab": {"text"}, "text": {text}, "do": {"save"}}); code != http.StatusOK {
		t.Fatalf("saving: %d\n%s", code, answer)
	}
	band = b.page("/parts/PLATE/first")
	checkPage(t, "lacking", band)
	says(t, "the band", band, "at least between", "Not a whole cost yet", "take it into your book")
	if strings.Contains(band, "withheld") {
		t.Error("a sum is told as withheld")
	}
	says(t, "the part", b.page("/parts/PLATE"), "Rests on a first guess", `href="/parts/PLATE/first"`)
}

// TestFirstPriceRefuses: what is wrong stands beside its field, what was typed is kept,
// and nothing is written.
func TestFirstPriceRefuses(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	b := s.signIn(t)
	checkPage(t, "form", b.page("/parts/first"))
	right := url.Values{"name": {"plate"}, "way": {"milled"}, "material": {"aluminium-6082"}, "length": {"60"}, "width": {"40"}, "thickness": {"20"}, "hour": {"58"}, "pieces": {"100"}, "country": {"PT"}, "currency": {"EUR"}}
	for field, c := range map[string]struct{ value, says string }{
		"name":      {"", "enter what you call it"},
		"length":    {"400", "up to 300 mm"},
		"thickness": {"", "enter a number above 0"},
		"hour":      {"much", "enter a number above 0"},
		"pieces":    {"2.5", "enter a whole number"},
		"currency":  {"EURO", "Country or currency"},
	} {
		wrong := url.Values{}
		for k, v := range right {
			wrong[k] = v
		}
		wrong.Set(field, c.value)
		code, text := b.post("/parts/first", wrong)
		checkPage(t, field, text)
		if code != http.StatusUnprocessableEntity || !strings.Contains(text, c.says) || !strings.Contains(text, `value="58"`) && field != "hour" {
			t.Errorf("%s %q: %d, want 422 and %q", field, c.value, code, c.says)
		}
	}
	if start := b.page("/parts"); !strings.Contains(start, "No parts yet") {
		t.Error("something was written")
	}
	if code, _ := b.post("/parts/first", right); code != http.StatusOK {
		t.Errorf("%d", code)
	}
	code, text := b.post("/parts/first", right)
	if code != http.StatusUnprocessableEntity || !strings.Contains(text, "there is a part PLATE already") {
		t.Errorf("the same again: %d", code)
	}
	gone := url.Values{"text": {"number: PLATE\nname: plate\nkind: made\n"}, "version": {hidden(t, b.page("/book/parts/PLATE/edit"), "version")}}
	if code, text := b.post("/book/parts/PLATE", gone); code != http.StatusOK || !strings.Contains(text, "without its first guess") || !strings.Contains(text, "or a first_guess that stands for it") {
		t.Errorf("the first guess is dropped without a word: %d", code)
	}
	right.Set("name", "second plate")
	right.Set("centre", "MILL")
	if code, _ := b.post("/parts/first", right); code != http.StatusOK {
		t.Errorf("a second part at the machine that is there: %d", code)
	}
}
