package web_test

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// clerk does the work of a shop in a browser, and counts what it takes.
type clerk struct {
	*tab
	presses, fields, pages int
}

// press presses a button or a link, which leads to another page.
func (c *clerk) press(selector string) {
	c.t.Helper()
	c.presses, c.pages = c.presses+1, c.pages+1
	c.tab.press(selector)
}

func (c *clerk) fill(selector, text string) {
	c.t.Helper()
	c.fields++
	c.tab.fill(selector, text)
}

// paste puts a text into a field at once.
func (c *clerk) paste(selector, text string) {
	c.t.Helper()
	c.fields++
	script := must(json.Marshal(text))(c.t)
	eval[bool](c.tab, `(document.querySelector("`+selector+`").value = `+string(script)+`) !== ""`)
}

// choose opens a select and takes one of its words.
func (c *clerk) choose(selector, value string) {
	c.t.Helper()
	c.presses++
	script := must(json.Marshal(value))(c.t)
	if !eval[bool](c.tab, `(document.querySelector("`+selector+`").value = `+string(script)+`) === `+string(script)+` && document.querySelector("`+selector+`").value !== ""`) {
		c.t.Fatalf("%s does not offer %s", selector, value)
	}
}

// atMost holds what was done since the last look to a number of presses, fields
// and pages.
func (c *clerk) atMost(what string, presses, fields, pages int) {
	c.t.Helper()
	c.t.Logf("%s: %d presses, %d fields, %d pages", what, c.presses, c.fields, c.pages)
	if c.presses > presses || c.fields > fields || c.pages > pages {
		c.t.Errorf("%s takes %d presses, %d fields and %d pages; it took %d, %d and %d", what, c.presses, c.fields, c.pages, presses, fields, pages)
	}
	c.presses, c.fields, c.pages = 0, 0, 0
	if dir := os.Getenv("KEEP_FILES"); dir != "" {
		shot := must(chromedp.Run(c.ctx, chromedp.FullScreenshot(100)))(c.t)
		if err := os.WriteFile(filepath.Join(dir, strings.ReplaceAll(what, " ", "-")+".png"), shot, 0o600); err != nil {
			c.t.Fatal(err)
		}
	}
}

// The first day of a small shop: its book is brought in, a knob is priced, and a
// quote goes out that rests on an old price of the bar.
func TestStoryOfOneShop(t *testing.T) {
	inBrowser(t)
	text := must(os.ReadFile(filepath.Join("testdata", "story", "knob.yaml")))(t)
	s := emptyShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/")
	c.press(`main a[href="/book/import"]`)
	c.paste("#f-book", string(text))
	c.press("#form button[type=submit]")
	c.expect("main", "Nothing is wrong with it")
	c.press("main form .actions button")
	c.atMost("bringing in the book", 3, 1, 3)

	c.press("header a")
	c.expect("main", "price for BRASS-25 ran out on 31 October 2026")
	c.atMost("seeing the price", 1, 0, 1)

	c.press(`nav a[href^='/parts']`)
	c.press(`main a[href^="/parts/KN-24"]`)
	c.expect("main", "thread M6")
	c.atMost("looking at the part", 2, 0, 2)

	c.press(`nav a[href^="/quotes"]`)
	c.press(`main a[href^="/quotes/new"]`)
	c.fill("#f-q-bright", "25")
	c.fill("#f-b-bright", "100")
	c.fill("#f-customer-name", "Exemplo Móveis")
	c.fill("#f-delivery-place", "Porto")
	c.press("button[value=preview]")
	c.expect("main", "The price holds only if 100 are made at once; 25 of them")
	c.expect("#form", "ran out on 31 October 2026")
	c.atMost("previewing a quote", 3, 4, 3)

	c.do(chromedp.Click(chromedp.CSS("#f-confirm_unverified")))
	c.presses++
	c.press("button[value=issue]")
	c.expect("h1", "Quote 2026-0001")
	c.atMost("issuing it", 2, 0, 1)
	code, pdf := s.signIn(t).get("/quotes/2026-0001/file/pdf")
	if code != http.StatusOK || !strings.HasPrefix(pdf, "%PDF-") {
		t.Errorf("PDF: %d", code)
	}
}
