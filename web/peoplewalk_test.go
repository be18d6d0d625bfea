package web_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
)

// From an empty database: the owner brings in the book and adds somebody who may quote without
// seeing cost; she signs in, makes a quote and meets no cost; the owner sees who did it.
func TestStoryOfTwoPeople(t *testing.T) {
	inBrowser(t)
	s := emptyShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	text := must(os.ReadFile(filepath.Join("testdata", "story", "knob.yaml")))(t)
	must(s.svc.ImportBook(t.Context(), tester, text, ""))(t)

	c.visit("/")
	c.press(`nav a[href="/shop"]`)
	c.fill("#f-person", "Ana Lopes")
	c.choose("#f-role", "all")
	c.press("#add button[type=submit]")
	c.fill("#f-person", "Rita Reis")
	c.press("#add button[type=submit]")
	c.expect("#link", "A link for Rita Reis")
	link := eval[string](c.tab, `document.querySelector("code.secret").textContent`)
	c.seen("shop")
	c.atMost("adding two people", 4, 2, 3)

	c.press("form[action='/sign-out'] button")
	c.presses, c.pages = 0, 0
	c.visit(strings.TrimPrefix(link, s.URL))
	c.press("main button[type=submit]")
	c.expect("h1", "Prices")
	c.expect("header", "Rita Reis")
	c.seen("prices")
	costs := s.costsOfTheKnob(t)
	seesNone := func() {
		t.Helper()
		shown := eval[string](c.tab, "document.documentElement.outerHTML")
		for _, cost := range costs {
			if strings.Contains(shown, cost) {
				t.Errorf("%s shows the cost %s", c.where(), cost)
			}
		}
	}
	seesNone()
	c.press(`main a[href="/quotes/new"]`)
	seesNone()
	c.fill("#f-q-bright", "25")
	c.fill("#f-b-bright", "100")
	c.fill("#f-customer-name", "Exemplo Móveis")
	c.fill("#f-delivery-place", "Porto")
	c.press("button[value=preview]")
	seesNone()
	c.do(chromedp.Click(chromedp.CSS("#f-confirm_unverified")))
	c.presses++
	c.press("button[value=issue]")
	c.expect("h1", "Quote 2026-0001")
	seesNone()
	c.seen("quote")
	c.atMost("signing in and quoting", 5, 4, 4)
	for _, path := range []string{"/parts", "/book", "/changes", "/landed", "/quotes/2026-0001/proof/quote/total", "/shop"} {
		c.visit(path)
		c.expect("main", "Ana Lopes can give you all rights")
		seesNone()
	}
	c.seen("refused")

	c.visit("/quotes")
	c.press("form[action='/sign-out'] button")
	c.presses, c.pages = 0, 0
	c.visit("/sign-in?link=" + must(s.svc.NewSignInLink(t.Context()))(t))
	c.press("main button[type=submit]")
	c.press(`nav a[href="/changes"]`)
	c.expect("tbody tr", "Rita Reis")
	c.expect("tbody tr", "issue quote")
	c.expect("header", "Ana Lopes")
	c.atMost("seeing who quoted", 2, 0, 2)
}

// seen holds the page against the rules of access and keeps its picture.
func (c *clerk) seen(name string) {
	c.t.Helper()
	for _, scheme := range []string{"light", "dark"} {
		c.scheme(scheme)
		c.keepPicture(name + "-" + scheme)
	}
	c.width(320)
	if wide := eval[int](c.tab, "document.documentElement.scrollWidth"); wide > 320 {
		c.t.Errorf("%s is %d wide", name, wide)
	}
	c.keepPicture(name + "-narrow")
	c.width(1280)
	c.scheme("light")
}

// costsOfTheKnob are what it costs, as pages write it.
func (s *shop) costsOfTheKnob(t *testing.T) (out []string) {
	t.Helper()
	list, _, err := s.svc.PriceList(t.Context(), answer.PriceRequest{Day: "2026-11-25", Quantities: []decimal.Decimal{decimal.NewFromInt(25), decimal.NewFromInt(100)}})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list.Estimates {
		for _, v := range e.Variants {
			for _, f := range []answer.Figure{v.Material, v.Making, v.Production, v.Full} {
				out = append(out, f.Value, decimal.RequireFromString(f.Value).StringFixed(2))
			}
		}
	}
	return out
}
