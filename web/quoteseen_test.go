package web_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/costing/papers/quote"
)

// raiseMillRate changes a figure that every quote of the demo book rests on.
func raiseMillRate(t *testing.T, b *browser, value string) {
	t.Helper()
	form := must(url.ParseQuery(millRate))(t)
	form.Set("value", value)
	form.Set("version", hidden(t, b.page("/change?"+millRate+"&value="+value), "version"))
	if code, _ := b.post("/change", form); code != http.StatusOK {
		t.Fatalf("change: %d", code)
	}
}

func TestQuoteIsIssuedAsPreviewed(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	_, preview := b.post("/quotes", demoQuote())
	raiseMillRate(t, b, "141.50")
	code, again := b.post("/quotes", previewForm(preview))
	if code != http.StatusUnprocessableEntity || !strings.Contains(again, "The figures have changed since the preview: look again, then issue") {
		t.Fatalf("issued at other figures: %d", code)
	}
	checkPage(t, "new preview", again)
	if list := b.page("/quotes"); strings.Contains(list, "2026-0001") {
		t.Fatal("a quote was issued")
	}
	if hidden(t, again, "book_version") == hidden(t, preview, "book_version") {
		t.Error("the new preview is of the old book")
	}
	yesterday := previewForm(again)
	yesterday.Set("priced_on", "2026-11-24")
	if code, _ := b.post("/quotes", yesterday); code != http.StatusUnprocessableEntity {
		t.Errorf("issued the preview of another day: %d", code)
	}
	issue := previewForm(again)
	code, body := b.post("/quotes", issue)
	if code != http.StatusOK || !strings.Contains(body, "2026-0001") {
		t.Fatalf("issue: %d", code)
	}
	raiseMillRate(t, b, "151.50")
	if code, body := b.post("/quotes", issue); code != http.StatusOK || !strings.Contains(body, "2026-0001") {
		t.Errorf("the button pressed again after the book has changed: %d", code)
	}
}

// TestQuoteRevisionKeepsWhatWasAskedFor begins with a quote that the form alone could
// not ask for: choices other than the trim's own, one trim twice, a last day.
func TestQuoteRevisionKeepsWhatWasAskedFor(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	wall := map[string]string{"mount": "wall"}
	var first promise.Quote
	err := b.shop.svc.Update(context.Background(), func(tx service.Tx) (err error) {
		first, err = b.shop.svc.IssueQuote(context.Background(), tx, tester, "", quote.Request{
			Lines: []quote.RequestLine{{Trim: "glow", Choices: wall, Quantity: "50", Batch: "250"}, {Trim: "plain", Quantity: "20"},
				{Trim: "plain", Choices: wall, Quantity: "7"}},
			Destination: "GB", Customer: quote.Party{Name: "Example & Co"}, ValidUntil: "2026-12-10",
			Delivery: quote.Delivery{Term: "DAP", Place: "Leeds"}, ConfirmUnverified: true,
		})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	form := b.page("/quotes/" + first.Number + "/revise")
	checkPage(t, "revise", form)
	fields := url.Values{"act": {"preview"}, "destination": {"GB"}, "customer.name": {"Example & Co"}, "delivery.term": {"DAP"}, "delivery.place": {"Leeds"}}
	for _, m := range hiddenField.FindAllStringSubmatch(form, -1) {
		fields.Set(m[1], unescaped(m[2]))
	}
	for _, name := range []string{"q.glow", "b.glow", "q.plain", "q.plain~2", "valid_days"} {
		fields.Set(name, inputValue(t, form, name))
	}
	_, preview := b.post("/quotes", fields)
	issue := previewForm(preview)
	issue.Set("confirm_unverified", "yes")
	if code, body := b.post("/quotes", issue); code != http.StatusOK {
		t.Fatalf("revise: %d\n%s", code, body)
	}
	second := must(b.shop.svc.Quote(context.Background(), first.Number, 2))(t)
	if second.Totals != first.Totals || second.ValidUntil != first.ValidUntil {
		t.Errorf("the revision comes to %+v until %s, the quote to %+v until %s", second.Totals, second.ValidUntil, first.Totals, first.ValidUntil)
	}
	chosen := 0
	for _, l := range second.Inputs.Request.Lines {
		if l.Choices["mount"] == "wall" {
			chosen++
		}
	}
	if chosen != 2 || len(second.Lines) != 3 {
		t.Errorf("%d lines, %d on the wall: %+v", len(second.Lines), chosen, second.Inputs.Request.Lines)
	}
}

// inputValue gives the value of an input on a page.
func inputValue(t *testing.T, page, name string) string {
	t.Helper()
	_, rest, ok := strings.Cut(page, ` name="`+name+`" type="`)
	_, rest, found := strings.Cut(rest, `value="`)
	value, _, _ := strings.Cut(rest, `"`)
	if !ok || !found {
		t.Fatalf("the page has no input %s", name)
	}
	return unescaped(value)
}

func TestQuoteIsChangedAsSeen(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	number, shown := issueDemoQuote(t, b)
	version := hidden(t, shown, "version")
	again := demoQuote()
	again.Set("number", number)
	again.Set("version", hidden(t, b.page("/quotes/"+number+"/revise"), "version"))
	again.Set("q.plain", "45")
	_, mine := b.post("/quotes", again)
	again.Set("q.plain", "46")
	_, theirs := b.post("/quotes", again)
	if code, _ := b.post("/quotes", previewForm(theirs)); code != http.StatusOK {
		t.Fatalf("the first revision: %d", code)
	}
	code, body := b.post("/quotes", previewForm(mine))
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "has changed in the meantime: it is at revision 2") {
		t.Fatalf("a revision of what was not seen: %d", code)
	}
	checkPage(t, "conflict", body)
	if kept := hidden(t, body, "q.plain"); kept != "45" {
		t.Errorf("what was typed has become %q", kept)
	}
	code, page := b.post("/quotes/"+number+"/withdraw", url.Values{"sure": {"yes"}, "version": {version}})
	if code != http.StatusUnprocessableEntity || !strings.Contains(page, "it is at revision 2") || !strings.Contains(page, number+", revision 2") {
		t.Fatalf("withdrawn as it was not seen: %d", code)
	}
	checkPage(t, "withdraw conflict", page)
	if code, body := b.post("/quotes", previewForm(body)); code != http.StatusOK || !strings.Contains(body, number+", revision 3") {
		t.Errorf("the revision after a second look: %d", code)
	}
}
