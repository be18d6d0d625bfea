package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
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
	c.fill("#f-hand_min", "0.5")
	c.fill("#f-price_per_kg", "8.20")
	c.press("#form button[type=submit]")
	c.expect("main", "minutes on the machine, set-up")
	c.expect("main", "Nothing is guessed any more")
	c.atMost("what narrows it", 2, 4, 2)
	b := s.signIn(t)
	if start := b.page("/"); !strings.Contains(start, "brass knob") || !strings.Contains(start, "full cost of a piece") {
		t.Error("the start page has no cost of the knob")
	}
	if check := b.page("/book/parts/BRASS-KNOB"); !strings.Contains(check, "first guess") {
		t.Error("the record does not say that it is a first guess")
	}
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
