package web_test

import (
	"bytes"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/testdata"
)

// TestPriceOnACostNotExceeded changes in a browser what a price rests on: from the start
// page, through its effect, back to the start page with another price and other words.
func TestPriceOnACostNotExceeded(t *testing.T) {
	inBrowser(t)
	s := demoShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/trims")
	c.expect("#price", "likely cost")
	if price := shownFigure(t, s.signIn(t).page("/trims"), "variant/plain/price/dealer/shelf-price"); price != "335" {
		t.Errorf("the price to dealers is %s", price)
	}
	c.press(`#price a[href*="LAMP._.dealer"][href*="plain"]`)
	c.expect("main", "It is the likely cost.")
	c.fields++
	eval[bool](c.tab, `(document.querySelector("#f-value").value = "not exceeded") !== ""`)
	c.fill("#f-of", "80")
	c.press("#form button[type=submit]")
	c.expect("#effect", "rests on the cost that 80 of 100 batches do not exceed, before on the likely cost")
	c.expect("#effect", "345.00")
	c.press("#effect form button[type=submit]")
	c.expect("main", "Saved as the next revision.")
	c.expect("#price", "cost that 80 of 100 batches do not exceed")
	c.expect("#price", "345.00")
	c.atMost("changing what a price rests on", 3, 2, 3)
}

// TestWhatAPriceRestsOnWithoutScripts walks the same through plain forms, with a number
// that no 100 draws have.
func TestWhatAPriceRestsOnWithoutScripts(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	start := b.page("/trims?mix=plain%3D100")
	link := regexp.MustCompile(`href="(/change\?[^"]*LAMP\._\.direct/rests_on)"`).FindStringSubmatch(start)
	if link == nil {
		t.Fatal("the start page does not lead to what the price rests on")
	}
	at := unescaped(link[1])
	checkPage(t, at, b.page(at))
	for of, want := range map[string]string{"0": "1 to 99 of 100 batches, and not in 0", "100": "and not in 100", "x": "no cost a price rests on"} {
		code, body := b.get(at + "&value=not+exceeded&of=" + of)
		checkPage(t, at, body)
		if code != http.StatusUnprocessableEntity || !strings.Contains(body, want) || !strings.Contains(body, `id="f-of-error"`) {
			t.Errorf("%s of 100: %d, without %q", of, code, want)
		}
	}
	asked := b.page(at + "&value=average")
	checkPage(t, at, asked)
	if !strings.Contains(asked, "The price in direct rests on the average of what a batch may cost, before on the likely cost.") {
		t.Error("the effect does not say what the price rests on")
	}
	form := url.Values{}
	for _, m := range hiddenField.FindAllStringSubmatch(asked[strings.Index(asked, `id="effect"`):], -1) {
		form.Set(m[1], unescaped(m[2]))
	}
	code, saved := b.post("/change", form)
	if code != http.StatusOK || !strings.Contains(saved, "Saved as the next revision.") || !strings.Contains(saved, "average of what a batch may cost") || !strings.Contains(saved, "full cost the price rests on") {
		t.Errorf("saved: %d\n%.3000s", code, saved)
	}
	if record := b.page("/book/prices/LAMP._.direct"); !strings.Contains(record, "average") {
		t.Error("the record does not say it")
	}
	if landed := b.page("/landed?mix=plain%3D100"); !strings.Contains(landed, "The price of Plain in direct rests on the average of what a batch may cost.") {
		t.Error("the landed prices do not say it")
	}
	// A what-if on an input that the cost rests on draws anew.
	whatif := b.page("/change?" + millRate + "&value=60")
	if !strings.Contains(whatif, "The price in direct rests on the average of what a batch may cost, drawn anew for the change.") {
		t.Error("a what-if does not say that it draws anew")
	}
}

// shownFigure is the exact value of a figure of a page.
func shownFigure(t *testing.T, page, key string) string {
	t.Helper()
	if _, after, sizes := strings.Cut(page, `<table class="sizes">`); sizes { // batches of other sizes stand there as well
		_, page, _ = strings.Cut(after, "</table>")
	}
	m := regexp.MustCompile(`data-key="` + regexp.QuoteMeta(key) + `" data-value="([^"]*)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("the page does not show %s", key)
	}
	return m[1]
}

// drawnDemo is the demo with both prices on costs that are drawn.
func drawnDemo() []byte {
	text := bytes.Replace(testdata.Demo, []byte("channel: direct, margin: 0.36"), []byte("channel: direct, margin: 0.36, rests_on: average"), 1)
	return bytes.Replace(text, []byte("channel: dealer, margin: 0.20"), []byte("channel: dealer, margin: 0.20, rests_on: not exceeded in 80 of 100"), 1)
}

// TestADrawnPriceIsOneFigure: a price on the average is one figure on the start page, in
// what-ifs, price lists, quotes and workbooks, to the last digit, and so is what the draws
// add; and each says what it rests on.
func TestADrawnPriceIsOneFigure(t *testing.T) {
	t.Parallel()
	s := shopWith(t, drawnDemo())
	b := s.signIn(t)
	const cost, price = "variant/plain/price/direct/cost", "variant/plain/price/direct/shelf-price"
	start := b.page("/trims?mix=plain%3D100")
	want := map[string]string{cost: shownFigure(t, start, cost), price: shownFigure(t, start, price)}
	t.Logf("%v", want)
	same := func(where string, got map[string]string) {
		t.Helper()
		for key, w := range want {
			if got[key] != w {
				t.Errorf("%s: %s is %s, on the start page %s", where, key, got[key], w)
			}
		}
	}
	whatif := b.page("/change?" + millRate + "&value=41.50")
	same("what-if, before", map[string]string{cost: shownFigure(t, whatif, cost), price: shownFigure(t, whatif, price)})
	same("proof", map[string]string{cost: shownFigure(t, b.page("/proof/"+cost+"?mix=plain%3D100"), cost), price: shownFigure(t, b.page("/proof/"+price+"?mix=plain%3D100"), price)})
	if added := b.page("/proof/variant/plain/price/direct/draws-add?mix=plain%3D100"); !strings.Contains(added, "drawn: the average of 4096 draws of full cost") || !strings.Contains(added, "standard error 0.0") {
		t.Error("the proof does not say how it was drawn")
	}

	hundred := []decimal.Decimal{decimal.NewFromInt(100)}
	list, _, err := s.svc.PriceList(t.Context(), answer.PriceRequest{Day: "2026-11-25", Trims: []bom.ID{"plain"}, Quantities: hundred})
	if err != nil {
		t.Fatal(err)
	}
	direct := list.Estimates[0].Variants[0].Channels[0]
	same("price list", map[string]string{direct.RestsOnCost.Key: direct.RestsOnCost.Value, direct.Shelf.Key: direct.Shelf.Value})
	if direct.RestsOn != "average" {
		t.Errorf("the price list says that the price rests on %q", direct.RestsOn)
	}

	request := demoQuote()
	request.Del("q.glow")
	request.Del("b.glow")
	request.Set("q.plain", "100")
	_, preview := b.post("/quotes", request)
	checkPage(t, "preview", preview)
	if !strings.Contains(preview, "The price rests on the average of what a batch may cost, ") {
		t.Error("the preview does not say what the price rests on")
	}
	_, issued := b.post("/quotes", previewForm(preview))
	if paper, beside, ok := strings.Cut(issued, "</article>"); !ok || strings.Contains(paper, "draws") || !strings.Contains(beside, "The price rests on the average of what a batch may cost, ") {
		t.Error("an issued quote does not say to the seller alone what the price rests on")
	}
	same("quote", map[string]string{cost: shownFigure(t, b.page("/quotes/2026-0001/proof/"+cost), cost), price: shownFigure(t, b.page("/quotes/2026-0001/proof/"+price), price)})
	if _, csv := b.get("/quotes/2026-0001/file/data.csv"); !strings.Contains(csv, "Plain") || strings.Contains(csv, "draws") {
		t.Errorf("the CSV for the buyer says what the price rests on, or nothing:\n%s", csv)
	}

	both, _, err := s.svc.Difference(t.Context(), study.DifferenceRequest{
		Before: study.DifferenceSide{Quote: "2026-0001", Figure: price}, After: study.DifferenceSide{Quote: "2026-0001", Figure: price, Today: true}})
	if err != nil || !both.Same || both.Before.Figure.Value != want[price] {
		t.Errorf("the quote compared with what it asks for today: %+v, %v", both.Before.Figure, err)
	}

	_, ofQuote := b.get("/quotes/2026-0001/file/cost.xlsx")
	book, _, err := s.svc.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	workbook := must(answer.Of(book).CostWorkbook(t.Context(), estimate.NewMix("LAMP", hundred[0], "plain"), "2026-11-25"))(t)
	for where, file := range map[string][]byte{"workbook": workbook, "workbook of the quote": []byte(ofQuote)} {
		cells := must(recalctest.Inspect(file))(t)
		for key, w := range want {
			cell := cells["_"+strings.NewReplacer("/", "_", "-", "_").Replace(key)]
			if err := recalctest.Agrees(cell.Value, decimal.RequireFromString(w)); err != nil {
				t.Errorf("%s: %s: %v", where, key, err)
			}
		}
		if cell := cells["_variant_plain_price_direct_draws_add"]; !cell.Locked || cell.Formula != "" || cell.Value == "" {
			t.Errorf("%s: what the draws add is %+v", where, cell)
		}
	}
}
