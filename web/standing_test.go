package web_test

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
	"kerfbook/web/frame"
	"kerfbook/web/papers"
)

// TestAQuoteSaysThatItNoLongerHolds looks at the notice above a quote, which
// paper keeps too.
func TestAQuoteSaysThatItNoLongerHolds(t *testing.T) {
	t.Parallel()
	pages := must(frame.LoadPages())(t)
	for _, c := range []struct {
		state  quote.State
		latest bool
		says   string
		leads  bool // to the newest revision
	}{
		{quote.Issued, true, "", false},
		{quote.Revised, false, "A later revision replaced this one", true},
		{quote.Expired, true, "has passed", false},
		{quote.Withdrawn, true, "was withdrawn", false},
		{quote.Withdrawn, false, "was withdrawn", true},
	} {
		body := &papers.QuoteBody{View: show.QuoteView{Title: "Quote 2026-0001", State: c.state}, Href: "/quotes/2026-0001", Latest: c.latest}
		text := must(pages.Render("quote", frame.Page{Title: "Quote", Body: body}))(t)
		said, leads := "", false
		nodes(parsed(t, string(text)), func(n *html.Node) {
			if hasClass(n, "lasting") {
				said = textOf(n)
			}
			leads = leads || n.Data == "a" && attr(n, "href") == "/quotes/2026-0001" && hasClass(n.Parent, "lasting")
		})
		if (said == "") != (c.says == "") || !strings.Contains(said, c.says) || leads != c.leads {
			t.Errorf("%s, newest %t: says %q, leads to the newest %t", c.state, c.latest, said, leads)
		}
	}
}
