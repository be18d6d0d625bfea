package web_test

import (
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/testdata"
)

// TestTodayInBatchesOfASize: each trim stands in three sizes, each in a batch of its own,
// with the chance that the margin wanted is met beside the price; the figures are those
// of the price list.
func TestTodayInBatchesOfASize(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	doc := parsed(t, b.page("/"))
	rows := rowsOf(doc, "sizes")
	if len(rows) != 16 || !slices.Equal(rows[0], []string{"Pieces in the batch", "50", "100", "250"}) {
		t.Fatalf("%d rows, %v", len(rows), rows[0])
	}
	var quantities []decimal.Decimal
	for _, n := range []int64{50, 100, 250} {
		quantities = append(quantities, decimal.New(n, 0))
	}
	list, _, err := s.svc.PriceList(t.Context(), answer.PriceRequest{Day: "2026-11-25", Trims: []bom.ID{"glow"}, Quantities: quantities})
	if err != nil {
		t.Fatal(err)
	}
	for i, e := range list.Estimates {
		v := e.Variants[0]
		if full, price := decimal.RequireFromString(v.Full.Value).StringFixed(2), decimal.RequireFromString(v.Channels[0].Shelf.Value).StringFixed(2); rows[7][i+1] != full || rows[8][i+1] != price {
			t.Errorf("%v and %v, the price list says %s and %s", rows[7], rows[8], full, price)
		}
	}
	if chance := strings.Join(rows[10], " "); !strings.Contains(chance, "36.0 % or more in") || strings.Count(chance, " of 10") != 3 {
		t.Error(chance)
	}
	if n := s.statistics(t, "/", doc); n != 9 {
		t.Errorf("%d chances", n)
	}
	one := rowsOf(parsed(t, b.page("/?as=one")), "sizes")
	if len(one) != 16 || one[0][1] != "as asked" {
		t.Errorf("in one batch: %v", one)
	}
}

// TestWhatWaits: an offer that runs out, what nobody has confirmed and what is not counted
// stand first, each with where it is done; then the latest changes, without keys.
func TestWhatWaits(t *testing.T) {
	t.Parallel()
	book := strings.Replace(string(testdata.Demo), "valid_until: 2032-12-31", "valid_until: 2026-12-05", 1)
	s := shopWith(t, []byte(book))
	b := s.signIn(t)
	waits := ""
	for _, n := range withClass(parsed(t, b.page("/")), "lines") {
		waits += textOf(n) + "\n"
	}
	says(t, "what waits", waits, "runs out on 2026-12-05", "United States: rows of tax, duty or customs that nobody has confirmed; at stake", "duty of Plain 14.68 USD", "Not counted, and nothing is said of it: ")
	if strings.Contains(waits, "session") {
		t.Error("a sign-in is told as a change")
	}
	b.page("/changes")
	says(t, "today", b.page("/"), "Nothing changed since you last looked")
	code, _ := b.post("/book/materials", url.Values{"text": {"id: lead\nname: lead\ndensity_g_cm3: 11.3\n"}})
	if body := b.page("/"); code != 200 || !strings.Contains(body, "Saved lead") || !strings.Contains(body, "Changes since you last looked: 1") {
		t.Errorf("%d: a change is not told", code)
	}
}

// TestTodayOfALargeShop: of thousands of things that are not counted some are listed, and
// it says where the others are.
func TestTodayOfALargeShop(t *testing.T) {
	t.Parallel()
	body := shopWith(t, []byte(booktest.Shop(400, 3))).signIn(t).page("/")
	says(t, "the page", body, "more, each on the page of its part or product")
	if n := strings.Count(body, "or say:"); n != 43 || len(body) > 40_000 {
		t.Errorf("%d are listed in %d bytes", n, len(body))
	}
}

// TestUsualBatch: the pages begin with the usual batch of a product.
func TestUsualBatch(t *testing.T) {
	t.Parallel()
	book := strings.Replace(string(testdata.Demo), "  - number: LAMP\n", "  - number: LAMP\n    usual_batch: 80\n", 1)
	b := shopWith(t, []byte(book)).signIn(t)
	says(t, "today", textOf(parsed(t, b.page("/"))), "80 × Plain, 80 × Glow, 80 × Tune")
	for _, path := range []string{"/", "/trims"} {
		says(t, path+", whose batch is one line", b.page(path), `<details class="noprint"><summary>change</summary><form`)
	}
	says(t, "landed", textOf(parsed(t, b.page("/landed"))), "80 × Plain")
	says(t, "how many", textOf(parsed(t, b.page("/curve?trim=glow"))), "80 × Glow")
	quote := parsed(t, b.page("/quotes/new?mix=glow%3D7"))
	if asked, batch := attrOf(quote, "q.glow"), attrOf(quote, "b.glow"); asked != "" || batch != "80" {
		t.Errorf("a quote begins with %q of a batch of %q", asked, batch)
	}
	if rows := rowsOf(parsed(t, b.page("/")), "sizes"); !slices.Equal(rows[0][1:], []string{"40", "80", "200"}) {
		t.Errorf("%v", rows[0])
	}
}
