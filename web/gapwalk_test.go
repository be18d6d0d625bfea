package web_test

import (
	"net/url"
	"strings"
	"testing"
)

// TestEnteringAMissingWage starts at trims without a price, since nobody has entered
// what the assembly bench is paid, enters it in a browser, and finds the prices.
func TestEnteringAMissingWage(t *testing.T) {
	inBrowser(t)
	s := demoShop(t)
	b := s.signIn(t)
	const without = "id: BENCH\nname: assembly bench\nmachines: 3\nmachine_rate_per_h: 2.20\nallowance: 0.14\n"
	if code, body := b.post("/book/work_centres/BENCH", url.Values{"text": {without}, "version": {hidden(t, b.page("/book/work_centres/BENCH/edit"), "version")}}); code != 200 || !strings.Contains(body, "wage of BENCH is missing") {
		t.Fatalf("a work centre without a wage: %d\n%.2000s", code, body)
	}
	for address, wants := range map[string][]string{
		"/":                  {`at least`, `without: wage of BENCH`, `withheld`},
		"/landed?trim=plain": {`wage of BENCH is missing`, `withheld`},
	} {
		body := b.page(address)
		checkPage(t, address, body)
		for _, want := range wants {
			if !strings.Contains(body, want) {
				t.Errorf("%s does not say %q", address, want)
			}
		}
	}
	if code, body := b.post("/quotes", demoQuote()); code != 422 || strings.Count(body, "wage of BENCH is missing, and the price rests on it") != 1 {
		t.Errorf("a quote on a cost without a wage: %d\n%.3000s", code, body)
	}
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/")
	c.expect("main", "To enter: wage of BENCH is missing")
	c.press(`main .notice a[href="/book/work_centres/BENCH/edit"]`)
	c.fill("#f-labour_rate_per_h", "19.50")
	c.press("#form button[value=save]")
	c.expect("h1", "assembly bench")
	c.atMost("entering a missing wage", 2, 1, 2)
	if start := b.page("/"); strings.Contains(start, "without: ") || strings.Contains(start, "withheld") || !strings.Contains(start, "123.73") {
		t.Error("the prices are not given now")
	}
}
