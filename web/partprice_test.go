package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestPriceOfAPartInCountries: what a part must sell for, by forms alone: a country that
// lacks something holds no other up, what it lacks is entered in place, a row that nobody
// has confirmed is, and a quote follows.
func TestPriceOfAPartInCountries(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	b := s.signIn(t)
	if code, _ := b.post("/parts/first", url.Values{"name": {"brass knob"}, "way": {"turned"}, "material": {"brass"}, "length": {"22"}, "diameter": {"20"}, "hour": {"58"}, "pieces": {"100"}, "country": {"PT"}, "currency": {"EUR"}}); code != http.StatusOK {
		t.Fatalf("the first form: %d", code)
	}
	band := b.page("/parts/BRASS-KNOB/first?pieces=100")
	code, band := b.post("/parts/BRASS-KNOB/first", url.Values{"version": {hidden(t, band, "version")}, "pieces": {"100"}, "cut-hole-diameter": {"4"}, "cut-hole-depth": {"20"}, "cut-hole-side": {"across:LATHE"},
		"cut-thread-name": {"M6"}, "cut-thread-depth": {"12"}, "cut-knurl-depth": {"12"}, "cut-all": {"yes"}, "ra-face": {"0.8"}, "finish": {"finish-nickel"}})
	if asked, _, _ := strings.Cut(band, `<details class="fold"><summary>What narrows`); code != http.StatusOK || !strings.Contains(asked, `name="least_charge"`) || !strings.Contains(asked, `name="per-price_per_dm2"`) {
		t.Fatalf("what is cut into it: %d, or the prices of a finish just chosen are folded away", code)
	}
	says(t, "the band", textOf(parsed(t, band)), "Finished to Ra 0.8 and 1.6, which is assumed where you say none.")
	if code, band = b.post("/parts/BRASS-KNOB/first", url.Values{"version": {hidden(t, band, "version")}, "pieces": {"100"}, "price_per_dm2": {"0.35"}, "per-price_per_dm2": {"piece_price"}}); code != http.StatusOK || strings.Contains(band, `name="price_per_dm2"`) {
		t.Errorf("a price by the piece: %d", code)
	}
	for _, page := range []string{"/parts/BRASS-KNOB", "/parts/BRASS-KNOB/price?pieces=100&margin=40", "/book/parts/BRASS-KNOB"} {
		if !strings.Contains(b.page(page), ">Band of cost</a>") {
			t.Errorf("%s does not lead to the band", page)
		}
	}
	const back = "/parts/BRASS-KNOB/first?margin=35&pieces=96&to=DE"
	says(t, "the way back", b.page("/parts/BRASS-KNOB/price?pieces=96&margin=35&to=DE"), `href="`+strings.ReplaceAll(back, "&", "&amp;")+`"`)
	band = b.page(back)
	says(t, "the band", band, `value="35"`, `value="DE"`)
	if _, band = b.post("/parts/BRASS-KNOB/first", url.Values{"version": {hidden(t, band, "version")}, "pieces": {"96"}, "margin": {"35"}, "to": {"DE"}, "setup_min": {"40"}}); !strings.Contains(band, `value="35"`) || !strings.Contains(band, `value="DE"`) {
		t.Error("after an answer the margin or the country is lost")
	}
	edit := b.page("/book/parts/BRASS-KNOB/edit?pieces=96")
	if _, saved := b.post("/book/parts/BRASS-KNOB", url.Values{"version": {hidden(t, edit, "version")}, "tab": {"text"}, "pieces": {"96"}, "do": {"save"}, "text": {strings.Replace(typedText(t, b.page("/book/parts/BRASS-KNOB/edit?tab=text")), "setup_min: 40", "setup_min: 45", 1)}}); !strings.Contains(saved, `href="/parts/BRASS-KNOB/first?pieces=96"`) {
		t.Error("after saving the record the pieces are lost")
	}
	path := "/parts/BRASS-KNOB/price?pieces=100&margin=40&to=Germany,+CH+us"
	page := b.page(path)
	checkPage(t, "price", page)
	text := textOf(parsed(t, page))
	says(t, "the price", text, "100 at once cost", "or less in 8 of 10 batches", "So the price covers what eight of ten batches may cost", "Germany", "Switzerland", "What 1 EUR is worth in CHF", "What 1 EUR is worth in USD", "1 part, 1 machine or bench, 1 material")
	says(t, "the price", page, "<b>Check:</b>", "<b>Not counted</b>, though usual in the trade: <span class=\"name\">", "packing")
	rows := rowsOf(parsed(t, page), "by-country")
	if len(rows) != 4 || rows[1][2] == "—" || !strings.HasPrefix(rows[2][2], "—") {
		t.Fatalf("by country: %v", rows)
	}
	if strings.Contains(text, "all paid") || !strings.Contains(rows[1][2], "collected at your door") {
		t.Errorf("where no carrier is known: %v", rows[1])
	}
	says(t, "the price", text, "can also simply be typed in the quote, under “Delivery charge”", "of the price that is asked, not on top of cost")
	if to := "/book/destinations/new?country=DE"; !strings.Contains(page, `href="`+to+`"`) || !strings.Contains(b.page(to), `value="DE"`) {
		t.Error("who buys in Germany is asked of another country")
	}
	costOfAPart(t, b, text)
	say := func(typed url.Values) (int, string) {
		if !typed.Has("confirm") {
			typed.Set("version", hidden(t, b.page(path), "version"))
		}
		code, text := b.post(path, typed)
		checkPage(t, "said", text)
		return code, text
	}
	if code, text := say(url.Values{}); code != http.StatusUnprocessableEntity || !strings.Contains(text, "Nothing is said yet") {
		t.Errorf("nothing said: %d", code)
	}
	if code, text := say(url.Values{"rate.CHF": {"many"}, "rate.USD": {"1.1"}}); code != http.StatusUnprocessableEntity || !strings.Contains(text, "such as 0.94") || !strings.Contains(text, `value="1.1"`) {
		t.Errorf("a wrong rate: %d", code)
	}
	if code, text := say(url.Values{"rate.CHF": {"0.94"}, "rate.USD": {"1.1"}}); code != http.StatusOK || !strings.Contains(text, "Customs number of the part") {
		t.Errorf("rates of exchange: %d", code)
	}
	code, text = say(url.Values{"hs_code": {"741980"}, "origin": {"Portugal"}})
	if rows := rowsOf(parsed(t, text), "by-country"); code != http.StatusOK || strings.Contains(text, "Missing for some countries") || rows[2][2] == "—" || rows[3][2] == "—" {
		t.Errorf("a customs number: %d, %v", code, rows)
	}
	says(t, "the rows", text, "Rows that nobody has confirmed", "At stake")
	for n := 0; strings.Contains(text, `name="confirm"`); n++ {
		if code, text = say(url.Values{"confirm": {hidden(t, text, "confirm")}}); code != http.StatusOK || n > 9 {
			t.Fatalf("confirming: %d", code)
		}
	}
	book, _, err := s.svc.Book(t.Context())
	if err != nil || len(book.Rules.Confirmed) == 0 || book.Rules.Confirmed[0].By == "" {
		t.Errorf("confirmed: %v, %v", book.Rules.Confirmed, err)
	}
	if record := b.page("/book/parts/BRASS-KNOB"); !strings.Contains(record, "741980") {
		t.Error("the part has no customs number")
	}
	quoteOfAPart(t, b, "/quotes/new?mix=part%3ABRASS-KNOB%400.4%2Bto%3ACH%3D100")
}

// costOfAPart holds the part's own page and Today against the page of its price.
func costOfAPart(t *testing.T, b *browser, price string) {
	t.Helper()
	rests := regexp.MustCompile(`cost ([\d.]+) each or less in 8 of 10 batches`).FindStringSubmatch(price)
	part := textOf(parsed(t, b.page("/parts/BRASS-KNOB?pieces=100")))
	if rests == nil {
		t.Fatal("the price names no cost that it rests on")
	}
	says(t, "the part", part, "EUR each if every guess is right; 8 of 10 batches cost no more than "+rests[1]+" each, which a price rests on", "Delivery is no cost of the part", "packing: enter what it is packed in and an operation of kind packing")
	if today := textOf(parsed(t, b.page("/"))); strings.Count(today, "nothing is said of it: ") != 1 || strings.Count(today, "packing: enter") != 1 {
		t.Error("Today does not say once that packing is not counted")
	}
}

// quoteOfAPart walks from the form to an issued quote and its files.
func quoteOfAPart(t *testing.T, b *browser, address string) {
	t.Helper()
	form := b.page(address)
	checkPage(t, "quote form", form)
	says(t, "quote form", textOf(parsed(t, form)), "Pieces of brass knob", "margin asked", "Switzerland", "Name of your shop")
	if !strings.Contains(form, `name="seller.country" type="text" value="PT"`) {
		t.Error("the country of the shop is asked again")
	}
	typed := url.Values{"as.~BRASS-KNOB": {"part"}, "q.~BRASS-KNOB": {"50"}, "b.~BRASS-KNOB": {"100"}, "m.~BRASS-KNOB": {"140"}, "destination": {"CH"}, "customer.name": {"Elm & Rook"},
		"delivery.term": {"FCA"}, "delivery.place": {"Porto"}, "valid_days": {"30"}, "act": {"preview"}}
	if code, text := b.post("/quotes", typed); code != http.StatusUnprocessableEntity || !strings.Contains(text, `href="#f-m-~BRASS-KNOB"`) || !strings.Contains(text, `value="140"`) {
		t.Errorf("a margin of 140 %%: %d", code)
	}
	typed.Set("m.~BRASS-KNOB", "40")
	for field, text := range map[string]string{"delivery.charge": "12", "customer.tax_number": "to follow"} {
		typed.Set(field, text)
		if code, page := b.post("/quotes", typed); code != http.StatusUnprocessableEntity || !strings.Contains(page, `href="#f-`+strings.NewReplacer(".", "-").Replace(field)+`"`) {
			t.Errorf("%s %s: %d", field, text, code)
		}
		typed.Del(field)
	}
	if _, unnamed := b.post("/quotes", typed); !strings.Contains(unnamed, "The paper is from") {
		t.Error("a paper of a shop without a name does not say so")
	}
	typed.Set("seller.name", "Oficina Ostrel")
	typed.Set("seller.address", "Rua 1\nPorto")
	code, preview := b.post("/quotes", typed)
	checkPage(t, "preview", preview)
	if code != http.StatusOK || !strings.Contains(preview, "priced at a batch of 100 pieces") {
		t.Fatalf("preview: %d", code)
	}
	paper, own, _ := strings.Cut(preview, "</article>")
	says(t, "the paper", paper, "Ø20 × 22 mm, edges broken 0.3 mm, hole Ø4 20 mm deep, thread M6 12 mm deep, knurled 12 mm wide, finest surface Ra 0.8 (face), nickel plating<", "Oficina Ostrel", "Collected in Porto, no delivery")
	if strings.Contains(preview, "The paper is from") {
		t.Error("the shop has a name and is said to have none")
	}
	for _, inner := range []string{"draws", "starter", "first guess"} {
		if strings.Contains(paper, inner) {
			t.Errorf("what the buyer reads says %q", inner)
		}
	}
	says(t, "before it is issued", own, "<b>Check:</b>", "<b>Not counted</b>, though usual in the trade: ", "packing")
	if strings.Contains(paper, "Not counted") {
		t.Error("the buyer reads what is not counted")
	}
	says(t, "what the seller alone sees", own, "The price rests on the cost that 80 of 100 batches do not exceed", "Nobody has given a source for ", "minutes of loading and unloading (starter range, turned part, small)", `href="/parts/BRASS-KNOB/first?pieces=100"`)
	for _, name := range []string{"nonce", "book_version", "priced_on"} {
		typed.Set(name, hidden(t, preview, name))
	}
	typed.Set("act", "issue")
	typed.Set("confirm_unverified", "yes")
	code, issued := b.post("/quotes", typed)
	checkPage(t, "quote", issued)
	if code != http.StatusOK || !strings.Contains(issued, "2026-0001") {
		t.Fatalf("issuing: %d", code)
	}
	files := regexp.MustCompile(`href="(/quotes/[^"]*)" download`).FindAllStringSubmatch(issued, -1)
	for _, file := range files {
		if text := b.page(unescaped(file[1])); len(text) < 200 {
			t.Errorf("%s is empty", file[1])
		}
	}
	if len(files) < 4 {
		t.Errorf("%d files", len(files))
	}
	if proof := b.page("/quotes/2026-0001/proof/variant/BRASS-KNOB/each/full"); !strings.Contains(proof, "full cost") {
		t.Error("the quote has no proof")
	}
	says(t, "the next quote", b.page(address), "Rua 1")
	says(t, "revising", textOf(parsed(t, b.page("/quotes/2026-0001/revise"))), "margin asked")
}

// sell walks from the band of a part to its price in two countries and an issued quote.
// rates says that the shop has no rates of exchange yet.
func sell(c *clerk, rates bool) {
	c.t.Helper()
	c.fill("#f-to", "DE, CH") // the margin of 40 % stands there
	c.press("#sell button[type=submit]")
	c.expect("main", "of 10 batches")
	if rates {
		c.fill("#f-rate-EUR", "0.92")
		c.fill("#f-rate-CHF", "0.87")
		c.press("#form button[type=submit]")
	}
	c.fill("#f-hs_code", "741980")
	c.press("#form button[type=submit]")
	c.expect("#there + div", "CHF")
	if n := eval[int](c.tab, `document.querySelectorAll("#there + div .none").length`); n > 0 {
		c.t.Errorf("%d figures are missing in a country", n)
	}
	c.press(`main a[href^="/quotes/new"]`)
	c.fill("#f-customer-name", "Elm & Rook")
	c.fill("#f-delivery-place", "Porto")
	c.press(`button[value="preview"]`)
	c.expect("main", "Check, then issue")
	c.do(chromedp.Click(chromedp.CSS("#f-confirm_unverified")))
	c.presses++
	c.press(`button[value="issue"]`)
	c.expect("main", "issued")
}
