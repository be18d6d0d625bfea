package web_test

import (
	"math/big"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"kerfbook/api/answer/change"
	"kerfbook/web/form"
)

// cents reads an amount as it is shown.
func cents(t *testing.T, text string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(strings.NewReplacer("−", "-", "+", "").Replace(text))
	if !ok {
		t.Fatalf("%q is no amount", text)
	}
	return r
}

// columnOf reads the column with the head Difference of the table that an element
// with an id is the caption of: the body, and the foot.
func columnOf(doc *html.Node, id string) (body []string, foot string) {
	column := -1
	nodes(doc, func(table *html.Node) {
		if table.Data != "table" || table.FirstChild == nil || attr(table.FirstChild, "id") != id {
			return
		}
		nodes(table, func(row *html.Node) {
			if row.Data != "tr" {
				return
			}
			if row.Parent.Data == "thead" {
				for cell := row.FirstChild; cell != nil; cell = cell.NextSibling {
					if column++; textOf(cell) == "Difference" {
						return
					}
				}
			}
			cell := row.FirstChild
			for range column {
				cell = cell.NextSibling
			}
			if row.Parent.Data == "tfoot" {
				foot = textOf(cell)
				return
			}
			body = append(body, textOf(cell))
		})
	})
	return body, foot
}

// TestSharesAddUpAsShown adds what stands on the page, to the cent.
func TestSharesAddUpAsShown(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	issueDemoQuote(t, b)
	dearerOffice(t, s)
	for _, path := range []string{
		"/compare?a.trim=plain&a.pieces=100&b.trim=glow&b.pieces=100",
		"/compare?a.trim=plain&a.pieces=100&b.trim=plain&b.pieces=400",
		"/compare?a.trim=plain&a.pieces=100&b.trim=tune&b.c.mount=wall&b.pieces=73&figure=production",
		"/compare?a.trim=quote&a.quote=2026-0001&b.trim=today&b.quote=2026-0001",
		"/compare?a.trim=quote&a.quote=2026-0001&b.trim=today&b.quote=2026-0001&figure=quote%2Ftotal",
		"/compare?a.trim=quote&a.quote=2026-0001&b.trim=plain&b.pieces=40",
	} {
		body := b.page(path)
		doc := parsed(t, body)
		difference := cents(t, statText(doc, "/difference"))
		for _, table := range []string{"shares", "lines", "places", "things"} {
			rows, foot := columnOf(doc, table)
			if table == "shares" { // the sum is of what is folded, too
				others, _ := columnOf(doc, "other-shares")
				rows = append(rows, others...)
			}
			if table == "things" || table == "places" { // their sum is their last row
				foot, rows = rows[len(rows)-1], rows[:len(rows)-1]
			}
			sum := new(big.Rat)
			for _, text := range rows {
				sum.Add(sum, cents(t, text))
			}
			if len(rows) == 0 || sum.Cmp(difference) != 0 || cents(t, foot).Cmp(difference) != 0 {
				t.Errorf("%s: the %d rows of %s add up to %s, the sum row has %s, the difference is %s", path, len(rows), table, sum.FloatString(2), foot, difference.FloatString(2))
			}
		}
		s.statistics(t, path, doc)
	}
}

// statText finds what is read at a place of the answer.
func statText(doc *html.Node, place string) string {
	text := ""
	nodes(doc, func(n *html.Node) {
		if attr(n, "data-stat") == place {
			text = textOf(n)
		}
	})
	return text
}

// dearerOffice makes today differ from the quote.
func dearerOffice(t *testing.T, s *shop) {
	t.Helper()
	b, version, err := s.svc.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	c := s.callAt(t, "/?mix=plain%3D100")
	if _, err := s.svc.ApplyChangeIn(t.Context(), tester, c.View.Lines, c.View.Day, []change.Change{{Key: "rate-card/administration", Value: "0.12"}}, version); err != nil {
		t.Fatalf("%s: %v", b.Name, err)
	}
}

func TestCompareQuoteWithToday(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	number, quote := issueDemoQuote(t, b)
	href := form.QuoteAgainstToday(number, 1)
	if !strings.Contains(quote, strings.ReplaceAll(href, "&", "&amp;")) {
		t.Error("the quote has no link to the comparison")
	}
	if body := b.page(href); !strings.Contains(body, "Nothing differs") {
		t.Error("a quote of today differs from today")
	}
	dearerOffice(t, s)
	body := b.page(href)
	checkPage(t, href, body)
	says(t, "the page", body, "The full cost of a piece, ", "quote 2026-0001 revision 1, computed for ", "rate-card/administration", "Shapley value", "What accounts for the difference")
}

func TestCompareProblems(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	b.refuses("/compare?", map[string][]string{
		"a.trim=quote&a.quote=2026-9999&b.trim=plain":     {`href="#f-a-quote"`, `value="2026-9999"`},
		"a.trim=quote&a.quote=&b.trim=plain":              {`href="#f-a-quote"`},
		"a.trim=plain&b.trim=plain&b.pieces=0":            {`href="#f-b-pieces"`, `value="0"`},
		"a.trim=plain&a.day=soon&b.trim=plain":            {`href="#f-a-day"`, `value="soon"`},
		"a.trim=plain&b.trim=glow&figure=price":           {`href="#f-figure"`},
		"a.trim=plain&b.trim=glow&figure=quote/total":     {`href="#f-figure"`},
		"a.trim=nobody&b.trim=glow":                       {`href="#f-a-trim"`},
		"a.trim=quote&a.quote=1&a.revision=x&b.trim=glow": {`href="#f-a-revision"`, `value="x"`},
	})
	if body := b.page("/compare?a.trim=plain&b.trim=plain&b.c.light=tunable"); !strings.Contains(body, "the colour sensor sits in the aluminium shade") {
		t.Error("a broken rule is not told")
	}
}
