package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// demoQuote asks for two trims, sent to Germany.
func demoQuote() url.Values {
	return url.Values{
		"act": {"preview"}, "q.plain": {"40"}, "q.glow": {" 60 "}, "b.glow": {"250"}, "destination": {"DE"},
		"customer.name": {"Beispiel Wohnen"}, "customer.address": {"Beispielweg 4\r\n80331 Munich"}, "customer.country": {"Germany"},
		"delivery.term": {"DAP"}, "delivery.place": {"Munich"}, "valid_days": {"30"},
		"payment_terms": {"30 days net"}, "lead_time": {"six weeks from the order"}, "notes": {"Without bulbs.\r\nDesk mount."},
	}
}

var hiddenField = regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)">`)

// issueDemoQuote previews and issues a quote as a person would, and gives the
// page of it.
func issueDemoQuote(t testing.TB, b *browser) (number, body string) {
	t.Helper()
	code, preview := b.post("/quotes", demoQuote())
	if code != http.StatusOK {
		t.Fatalf("preview: %d\n%s", code, preview)
	}
	code, body = b.post("/quotes", previewForm(preview))
	if code != http.StatusOK {
		t.Fatalf("issue: %d\n%s\n%s", code, body, b.shop.log)
	}
	found := regexp.MustCompile(`Quote (\d{4}-\d{4})`).FindStringSubmatch(body)
	if found == nil {
		t.Fatalf("no quote was issued:\n%s", body)
	}
	return found[1], body
}

// previewForm is the form below a preview, sent with its button.
func previewForm(preview string) url.Values {
	form := url.Values{"act": {"issue"}}
	at := strings.Index(preview, "Check, then issue")
	for _, m := range hiddenField.FindAllStringSubmatch(preview[max(0, at):], -1) {
		form.Set(m[1], unescaped(m[2]))
	}
	return form
}

func unescaped(text string) string {
	return strings.NewReplacer("&#34;", `"`, "&#39;", "'", "&#43;", "+", "&#13;", "\r", "&#10;", "\n", "&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(text)
}

func TestQuoteFromFormToFiles(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	number, body := issueDemoQuote(t, b)
	checkPage(t, "quote", body)
	says(t, "the quote", body, "Beispiel Wohnen", "Beispielweg 4", "DAP Munich", "Incoterms 2020", "30 days net", "six weeks from the order", "Without bulbs.", "The quote is issued.")
	for format, begins := range map[string]string{"pdf": "%PDF-", "letter.pdf": "%PDF-", "csv": "\ufeff", "semicolon.csv": "\ufeff", "data.csv": "", "xlsx": "PK", "cost.xlsx": "PK"} {
		r, err := b.Get(b.shop.URL + "/quotes/" + number + "/file/" + format + "?revision=1")
		code, data := b.read(r, err)
		if code != http.StatusOK || !strings.HasPrefix(data, begins) || len(data) < 200 {
			t.Errorf("%s: %d, %d bytes", format, code, len(data))
		}
		if d := r.Header.Get("Content-Disposition"); !strings.HasPrefix(d, `attachment; filename="quote-`+number) {
			t.Errorf("%s: named %q", format, d)
		}
	}
	if list := b.page("/quotes"); !strings.Contains(list, number) {
		t.Error("the list lacks the quote")
	}
}

// What a price rests on stands in the preview and on the seller's page of the quote, and
// on nothing the customer gets.
func TestPreviewShowsTheBatch(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	_, preview := b.post("/quotes", demoQuote())
	checkPage(t, "preview", preview)
	says(t, "the preview", preview, "What the prices rest on", "Cost of one piece that the price rests on", "Cost of the batch", "quote/line/glow/batch-cost", "is itself the batch: the price is that of 40", "only if 250 are made at once; 60 of them")
	number, issued := issueDemoQuote(t, b)
	if body := b.page("/quotes/" + number + "/file/semicolon.csv"); !strings.Contains(body, `";"`) || strings.Contains(body, `","`) {
		t.Errorf("fields are not separated by semicolons:\n%.500s", body)
	}
	says(t, "the seller's page of the quote", issued, "Cost of the batch")
	for _, body := range []string{b.page("/quotes/" + number + "/file/csv"), b.page("/quotes/" + number + "/file/data.csv")} {
		if strings.Contains(body, "Cost of") || strings.Contains(body, "batch-cost") || strings.Contains(body, "itself the batch") {
			t.Error("what the customer gets shows the cost of the batch")
		}
	}
}

func TestQuoteIsIssuedOnce(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	_, preview := b.post("/quotes", demoQuote())
	form := previewForm(preview)
	for range 3 {
		if code, body := b.post("/quotes", form); code != http.StatusOK || !strings.Contains(body, "2026-0001") {
			t.Fatalf("%d", code)
		}
	}
	if list := b.page("/quotes"); strings.Contains(list, "2026-0002") {
		t.Error("pressing the button again issued another quote")
	}
}

func TestQuoteFormFaults(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	form := demoQuote()
	form.Set("q.plain", "1e9")
	form.Set("customer.name", "")
	form.Set("delivery.place", "")
	form.Set("customer.contact", "山田")
	code, body := b.post("/quotes", form)
	if code != http.StatusUnprocessableEntity {
		t.Fatalf("%d", code)
	}
	checkPage(t, "form", body)
	says(t, "the form", body, `value="1e9"`, `href="#f-q-plain"`, `href="#f-customer-name"`, `href="#f-delivery-place"`, `href="#f-customer-contact"`, "cannot draw 山 (U&#43;5C71), 田 (U&#43;7530)", "80331 Munich", "<title>Error: ")
}

func TestQuoteRestsOnUnverifiedRows(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	form := demoQuote()
	form.Set("destination", "US")
	form.Set("delivery.place", "Boston")
	code, preview := b.post("/quotes", form)
	if code != http.StatusOK || !strings.Contains(preview, "Rows without a source") {
		t.Fatalf("preview: %d", code)
	}
	checkPage(t, "preview", preview)
	issue := previewForm(preview)
	code, body := b.post("/quotes", issue)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, `href="#f-confirm_unverified"`) {
		t.Errorf("issued without confirmation: %d", code)
	}
	issue = previewForm(body)
	issue.Set("confirm_unverified", "yes")
	if code, body := b.post("/quotes", issue); code != http.StatusOK || !strings.Contains(body, "confirmed by the seller") {
		t.Errorf("confirmed: %d", code)
	}
}

func TestQuoteIsRevisedAndWithdrawn(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	number, _ := issueDemoQuote(t, b)
	form := b.page("/quotes/" + number + "/revise")
	checkPage(t, "revise", form)
	if !strings.Contains(form, "Beispiel Wohnen") || !strings.Contains(form, `value="250"`) {
		t.Error("revising does not begin with what was asked for")
	}
	again := demoQuote()
	again.Set("number", number)
	again.Set("q.plain", "45")
	_, preview := b.post("/quotes", again)
	if !strings.Contains(preview, number+", revision 2") || !strings.Contains(preview, ">2</dd>") {
		t.Error("the preview does not name the revision it will be")
	}
	code, body := b.post("/quotes", previewForm(preview))
	if code != http.StatusOK || !strings.Contains(body, number+", revision 2") {
		t.Fatalf("revision: %d\n%s", code, body)
	}
	if old := b.page("/quotes/" + number + "?revision=1"); !strings.Contains(old, "revised") {
		t.Error("the first revision does not say that it was revised")
	}
	code, body = b.post("/quotes/"+number+"/withdraw", nil)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, `href="#f-sure"`) || !strings.Contains(body, `id="f-sure-error"`) {
		t.Errorf("withdrawn without being sure: %d", code)
	}
	checkPage(t, "not sure", body)
	if code, body := b.post("/quotes/"+number+"/withdraw", url.Values{"sure": {"yes"}}); code != http.StatusOK || !strings.Contains(body, "withdrawn") {
		t.Errorf("withdraw: %d", code)
	}
}
