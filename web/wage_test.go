package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// TestWageByFiveQuestions: a wage is worked out by its form, which begins with what is paid
// on top in the country of the shop; the hour is said before it is saved and after, a
// machine takes it, and what is taken out again is named.
func TestWageByFiveQuestions(t *testing.T) {
	t.Parallel()
	b := emptyShop(t).signIn(t)
	if code, _ := b.post("/book/shop", url.Values{"text": {"name: Oficina\ncountry: \"PT\"\ncurrency: EUR\n"}}); code != http.StatusOK {
		t.Fatalf("the shop: %d", code)
	}
	page := b.page("/book/wages/new")
	checkPage(t, "new wage", page)
	says(t, "new wage", page, "0.2375", "Portuguese Social Security", "Pay of a year", "Days off")
	sent := with(formOn(t, page), "name", "lathe hand", "pay_per_year", "24000", "hours_per_week", "40", "days_off_per_year", "38")
	_, looked := b.post("/book/wages", with(sent, "do", "look"))
	says(t, "before saving", looked, "withheld", "share of the hours that goes into parts of lathe hand", "29700.00", "share in parts of")
	code, saved := b.post("/book/wages", with(sent, "share_in_parts", "80 %", "do", "save"))
	if code != http.StatusOK {
		t.Fatalf("saved: %d\n%s", code, saved)
	}
	checkPage(t, "wage", saved)
	says(t, "the wage", saved, "An hour:", "20.90", "29700.00", "1420.8", "41.81")
	if code, body := b.post("/book/work_centres", url.Values{"text": {"id: LATHE\nname: lathe\nmachine_rate_per_h: 9\nwage: LATHE-HAND\n"}}); code != http.StatusOK || strings.Contains(body, "there is no wage") {
		t.Errorf("the machine: %d", code)
	}
	if code, body := b.post("/book/wages/LATHE-HAND/remove", with(formOn(t, b.page("/book/wages/LATHE-HAND/edit")), "sure", "yes")); code != http.StatusOK {
		t.Errorf("removed: %d\n%s", code, body)
	}
	says(t, "the machine without it", b.page("/book/work_centres/LATHE"), "there is no wage LATHE-HAND")
}

// TestOwnHourByItsForm: what the shop costs has its lines to fill in, and a line without an
// amount is named with the hour.
func TestOwnHourByItsForm(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	for _, from := range []string{"/book/wages", "/book/work_centres/starters", "/rates"} {
		says(t, from, b.page(from), `href="/book/wages/new?take=own-hour"`)
	}
	page := b.page("/book/wages/new?take=own-hour")
	checkPage(t, "own hour", page)
	sent := with(formOn(t, page), "pay_per_year", "30000", "on_top", "30 %", "hours_per_year", "1000",
		"other_per_year[0].amount", "9000", "other_per_year[1].amount", "600", "other_per_year[2].amount", "400", "other_per_year[3].amount", "2000")
	code, saved := b.post("/book/wages", with(sent, "do", "save"))
	if code != http.StatusOK {
		t.Fatalf("saved: %d\n%s", code, saved)
	}
	says(t, "the hour", saved, "51.00", "102.00", "1000.0")
	_, lacks := b.post("/book/wages/OWN", with(formOn(t, b.page("/book/wages/OWN/edit")), "other_per_year[1].amount", "", "do", "look"))
	says(t, "without the insurance", lacks, "at least 50.40", "insurance a year of my own hour")
}
