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

// TestFirstPriceByOwnHour: who does not know what an hour costs answers four questions on
// the first form instead; the hour is the book's own record, which the machine names, and
// the next machine takes it unasked. What contradicts or is left open is said beside it.
func TestFirstPriceByOwnHour(t *testing.T) {
	t.Parallel()
	b := emptyShop(t).signIn(t)
	page := b.page("/parts/first")
	checkPage(t, "first form", page)
	part := with(formOn(t, page), "name", "brass knob", "way", "turned", "material", "brass", "diameter", "20", "length", "22", "pieces", "100", "currency", "EUR", "country", "PT")
	code, open := b.post("/parts/first", with(part, "pay_per_year", "30000", "hours_per_year", "1000"))
	says(t, "two answers", open, "What the shop costs a year: answer it too", "Your own tax and insurance on top of that: answer it too", `value="30000"`)
	if code != http.StatusUnprocessableEntity {
		t.Errorf("two answers: %d", code)
	}
	answers := []string{"pay_per_year", "30000", "on_top", "30 %", "other_per_year[0].amount", "12000", "hours_per_year", "1000"}
	_, both := b.post("/parts/first", with(part, append(answers, "hour", "58")...))
	says(t, "hour and answers", both, "leave the hour and the machine above open")
	code, band := b.post("/parts/first", with(part, answers...))
	if code != http.StatusOK {
		t.Fatalf("the band: %d\n%s", code, band)
	}
	says(t, "the band", band, "/low/value", `comes to <span class="name">51.00</span>, from <a href="/book/wages/OWN">your answers</a>; at half the hours it would be <span class="name">102.00</span>`)
	says(t, "the hour", b.page("/book/wages/OWN"), "51.00", "102.00")
	says(t, "the lathe", b.page("/book/work_centres/LATHE"), "hour of you and the machine", "OWN")
	// Half the hours: the same part is dearer, and without them nothing is told.
	says(t, "the effect", first(b.post("/book/wages/OWN", with(formOn(t, b.page("/book/wages/OWN/edit")), "hours_per_year", "500", "do", "look"))), "102.00")
	next := b.page("/parts/first")
	if strings.Contains(next, "Four questions") {
		t.Error("the questions are asked again")
	}
	if code, body := b.post("/parts/first", with(formOn(t, next), "name", "plate", "way", "milled", "material", "aluminium-6082", "length", "80", "width", "40", "thickness", "10", "pieces", "50")); code != http.StatusOK {
		t.Errorf("the plate: %d\n%s", code, body)
	}
	says(t, "the mill", b.page("/book/work_centres/MILL"), "hour of you and the machine", "OWN")
	// Taken out, the hours are named wherever a figure rests on them.
	says(t, "no hours", first(b.post("/book/wages/OWN", with(formOn(t, b.page("/book/wages/OWN/edit")), "hours_per_year", "", "do", "save"))), "hours of OWN are missing")
	says(t, "today", b.page("/"), "hours of my own hour is missing")
	if code, body := b.get("/parts/BRASS-KNOB/first?pieces=100"); code != http.StatusConflict || !strings.Contains(body, "hours of my own hour is missing") {
		t.Errorf("a band of an hour without hours: %d", code)
	}
}

func first(_ int, body string) string { return body }
