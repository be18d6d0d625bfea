package web_test

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/testdata"
	"kerfbook/testdata/depth"
	"kerfbook/web/frame"
)

// TestInTheBrowser does what people do, in a real browser.
func TestInTheBrowser(t *testing.T) {
	inBrowser(t)
	ctx := chrome(t)
	full, empty := demoShop(t), emptyShop(t)
	number, _ := issueDemoQuote(t, full.signIn(t))
	// Typing needs the focus, which one tab has at a time.
	t.Run("tour", func(t *testing.T) { tour(demoShop(t).open(t, ctx)) })
	t.Run("without scripts", func(t *testing.T) {
		tb := demoShop(t).open(t, ctx)
		tb.noScripts()
		tour(tb)
	})
	t.Run("keyboard", func(t *testing.T) { keyboard(full.open(t, ctx)) })
	t.Run("downloads", func(t *testing.T) { downloads(full.openSignedIn(t, ctx), number) })
	t.Run("instant what-if", func(t *testing.T) { instant(full.openSignedIn(t, ctx)) })
	pages := oneOfEach(append(browserPages(), "/quotes/"+number, "/quotes/"+number+"/proof/quote/total"))
	for name, look := range map[string]func(t *testing.T){
		"narrow":                func(t *testing.T) { narrow(full.openSignedIn(t, ctx), pages) },
		"axe":                   func(t *testing.T) { axe(full.openSignedIn(t, ctx), pages) },
		"axe, nothing stored":   func(t *testing.T) { axe(empty.openSignedIn(t, ctx), emptyPages) },
		"axe, nobody signed in": func(t *testing.T) { axe(full.open(t, ctx), []string{"/sign-in", "/sign-in?link=abc"}) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			look(t)
		})
	}
}

// browserPages are looked at in the browser: one of each kind, with problems too.
func browserPages() []string {
	return []string{
		"/", "/?n.plain=none&as=one", "/trims", "/landed", "/parts", "/parts?search=nothing-like-it", "/parts/HS-010", "/parts/ENG-27M", "/parts/LB-27", "/rates", "/sources?place=US", "/sources?about=steel-c45", "/book/materials/starters",
		"/book", "/book/parts", "/book/products/LAMP", "/book/carriers/AIR", "/book/parts/HS-010/edit?open=routing[1]&open=routing[1].features[0]", "/book/products/LAMP/edit?open=positions[1]&open=rules[0]&open=trims[0]", "/book/parts/new", "/book/parts/HS-010/revisions?show=1",
		"/book/import", "/book/offers/table", "/changes?verify=1", "/changes/1", "/shop", "/prices", "/writing?text=1.234&unit=mm", "/book/work_centres/starters", "/quotes", "/quotes/new", "/nowhere",
		"/proof/variant/plain/each/full?mix=plain%3D100&day=2026-11-25", "/proof/work-centre/MILL/machine-rate?mix=plain%3D100&day=2026-11-25",
		"/change?key=work-centre/MILL/labour-rate&mix=plain%3D100&day=2026-11-25&value=41.50", "/change?key=work-centre/MILL/labour-rate&mix=plain%3D100&value=-4", "/change", "/change?find=mill+labour", "/scenarios",
		"/change?mix=plain%3D100&key=work-centre/MILL/labour-rate&value=41.50&key=book/parts/HS-010/routing%5B3%5D&value.1=&find=mill",
	}
}

// oneOfEach keeps one view of each page by day.
func oneOfEach(paths []string) []string {
	return depth.OneOfEach(paths, func(path string) string {
		page, _, _ := strings.Cut(path, "?")
		return page
	})
}

// tour signs in, changes the quantity, opens a proof, changes an input and issues
// a quote.
func tour(tb *tab) {
	t := tb.t
	secret := must(tb.shop.svc.NewSignInLink(t.Context()))(t)
	tb.visit(frame.SignInPath(secret))
	tb.press("main button[type=submit]")
	tb.expect("h1", "Today")

	tb.do(chromedp.Click(chromedp.CSS(".batchline summary")))
	tb.fill("#f-n-plain", "250")
	tb.press("form.chooser button[type=submit]")
	tb.expectFigure("variant/plain/each/full", wanted(t, "plain", 250).Full.Value)
	tb.expectFigure("variant/plain/price/direct/shelf-price", wanted(t, "plain", 250).Channels[0].Shelf.Value)
	tb.expectFigure("variant/glow/each/full", wanted(t, "glow", 100).Full.Value)

	tb.press(`a[data-key="variant/plain/each/full"]`)
	tb.expect("h1", "full cost")
	tb.press(`a[data-key="variant/plain/each/administration"]`)
	tb.press(`a[data-key="rate-card/administration"]`)
	tb.fill("#f-value", "0.09")
	tb.press("#form button[type=submit]")
	tb.expect("main h2", "Effect")
	tb.press("form[method=post][action='/change'] button")
	tb.expect(".notice", "Saved as the next revision.")
	tb.expect("p.big a", "0.09")

	tb.visit("/quotes/new")
	for sel, text := range map[string]string{"#f-q-plain": "40", "#f-customer-name": "Beispiel Wohnen", "#f-customer-country": "DE", "#f-delivery-place": "Munich", "#f-valid_days": "30"} {
		tb.fill(sel, text)
	}
	tb.do(chromedp.Focus(chromedp.CSS("#f-destination")), chromedp.KeyEvent("Ger"))
	tb.press("button[value=preview]")
	tb.expect("main", "This is a preview")
	tb.press("button[value=issue]")
	tb.expect(".notice", "The quote is issued.")
	tb.expect("h1", "Quote 2026-0001")
	tb.press(`a[data-key="quote/total"]`)
	tb.expect("h1", "total to pay")
}

// wanted is what the engine says without any store or page.
func wanted(t *testing.T, trim bom.ID, quantity int64) answer.VariantPrices {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	list := must(answer.Of(b).Price(t.Context(), answer.PriceRequest{Day: "2026-11-25", Trims: []bom.ID{trim}, Quantities: []decimal.Decimal{decimal.NewFromInt(quantity)}}))(t)
	return list.Estimates[0].Variants[0]
}

// press clicks and waits for the page that follows.
func (tb *tab) press(selector string) {
	tb.t.Helper()
	if _, err := chromedp.RunResponse(tb.ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
		tb.t.Fatalf("pressing %s at %s: %v", selector, tb.where(), err)
	}
}

func (tb *tab) fill(selector, text string) {
	tb.t.Helper()
	tb.do(chromedp.Focus(chromedp.CSS(selector)), chromedp.KeyEvent("a", chromedp.KeyModifiers(chromedp.ModifierCtrl)), chromedp.KeyEvent(text))
}

// expect looks for words in an element.
func (tb *tab) expect(selector, words string) {
	tb.t.Helper()
	got, err := chromedp.Run(tb.ctx, chromedp.TextContent(chromedp.CSS(selector)))
	if err != nil || !strings.Contains(got, words) {
		tb.t.Fatalf("%s at %s: %q (%v), want %q", selector, tb.where(), got, err, words)
	}
}

// expectFigure looks for a figure with an exact value.
func (tb *tab) expectFigure(key, value string) {
	tb.t.Helper()
	got, err := chromedp.Run(tb.ctx, chromedp.AttributeValue(chromedp.CSS(fmt.Sprintf(`a[data-key=%q]`, key)), "data-value"))
	if err != nil || got.Value != value {
		tb.t.Fatalf("%s: %s (%v), want %s", key, got.Value, err, value)
	}
}

// instant types a value and waits for the effect without pressing anything.
func instant(tb *tab) {
	tb.visit("/change?key=work-centre/MILL/labour-rate&mix=plain%3D100&day=2026-11-25")
	tb.fill("#f-value", "44")
	tb.do(chromedp.WaitVisible(chromedp.CSS(`#effect a[data-key^="difference/"]`)))
	tb.visit("/")
	before := eval[string](tb, `document.querySelector('a[data-key="variant/plain/each/full"]').dataset.value`)
	tb.do(chromedp.Click(chromedp.CSS(".batchline summary")))
	tb.fill("#f-n-plain", "500")
	want := wanted(tb.t, "plain", 500).Full.Value
	tb.do(chromedp.WaitVisible(chromedp.CSS(fmt.Sprintf(`a[data-key="variant/plain/each/full"][data-value=%q]`, want))))
	if before == want {
		tb.t.Error("the figure did not change")
	}
	tb.expect("#batch", "500 × Plain")
	tb.visit("/book/parts/new")
	tb.fill("#f-name", "end cap")
	tb.fill("#f-mass_g", "12")
	tb.put("#f-mass_g-low", "11")
	tb.put("#f-mass_g-high", "15")
	tb.do(chromedp.WaitReady(chromedp.CSS(".f:has(#f-mass_g) .spread-of path")))
	tb.put("#f-kind", "made")
	tb.do(chromedp.WaitReady(chromedp.CSS(".group[open] #f-blank-stock")))
	tb.put("#f-kind", "bought")
	tb.do(chromedp.WaitReady(chromedp.CSS(".group:not([open]) #f-blank-stock")))
	if kept := eval[string](tb, `[...document.querySelectorAll("#f-name, #f-mass_g, #f-mass_g-high")].map(e => e.value).join()`); kept != "end cap,12,15" {
		tb.t.Errorf("another kind of part leaves %q of what was typed", kept)
	}
}

// put puts a value into a field at once, as a browser tells it.
func (tb *tab) put(selector, value string) {
	tb.t.Helper()
	eval[bool](tb, fmt.Sprintf(`(e => { e.value = %q; return e.dispatchEvent(new Event("change", {bubbles: true})); })(document.querySelector(%q))`, value, selector))
}

// downloads fetches every file of a quote the way the page links to it.
func downloads(tb *tab, number string) {
	tb.visit("/quotes/" + number)
	got, err := chromedp.Run(tb.ctx, chromedp.Evaluate[[]string](`Promise.all([...document.querySelectorAll("a[download]")].map(async a => {
		const r = await fetch(a.href), body = await r.arrayBuffer();
		return r.status + " " + r.headers.get("Content-Type").split(";")[0] + " " + (body.byteLength > 500);
	}))`, chromedp.EvalAwaitPromise))
	want := []string{"200 application/pdf true", "200 application/pdf true", "200 text/csv true", "200 text/csv true", "200 text/csv true",
		"200 application/vnd.openxmlformats-officedocument.spreadsheetml.sheet true", "200 application/vnd.openxmlformats-officedocument.spreadsheetml.sheet true"}
	if err != nil || !slices.Equal(got, want) {
		tb.t.Errorf("files: %q (%v)", got, err)
	}
}

// keyboard signs in and opens a proof with keys alone, and looks that the focus
// is always seen.
func keyboard(tb *tab) {
	t := tb.t
	secret := must(tb.shop.svc.NewSignInLink(t.Context()))(t)
	tb.visit(frame.SignInPath(secret))
	tb.tabTo("main button")
	if _, err := chromedp.RunResponse(tb.ctx, chromedp.KeyEvent(kb.Enter)); err != nil {
		t.Fatal(err)
	}
	tb.expect("h1", "Today")
	tb.do(chromedp.KeyEvent(kb.Tab))
	if at := eval[string](tb, `document.activeElement.className`); at != "skip" {
		t.Errorf("the first stop is %q, want the link past the navigation", at)
	}
	tb.do(chromedp.KeyEvent(kb.Enter))
	tb.tabTo(`a[data-key="variant/plain/each/full"]`)
	if _, err := chromedp.RunResponse(tb.ctx, chromedp.KeyEvent(kb.Enter)); err != nil {
		t.Fatal(err)
	}
	tb.expect("h1", "full cost")
}

// tabTo presses Tab until an element has the focus. Each stop must be on the
// screen and show its focus.
func (tb *tab) tabTo(selector string) {
	tb.t.Helper()
	for range 80 {
		tb.do(chromedp.KeyEvent(kb.Tab))
		state := eval[string](tb, fmt.Sprintf(`(() => {
			const e = document.activeElement, r = e.getBoundingClientRect(), s = getComputedStyle(e);
			if (s.outlineStyle === "none") return "unseen focus on " + e.outerHTML.slice(0, 80);
			if (r.bottom < 0 || r.top > innerHeight) return "off screen: " + e.outerHTML.slice(0, 80);
			return e.matches(%q) ? "there" : "";
		})()`, selector))
		if state == "there" {
			return
		}
		if state != "" {
			tb.t.Error(state)
		}
	}
	tb.t.Fatalf("%s is not reached by keyboard", selector)
}

// narrow looks that no page is wider than the smallest phone, and that what is
// pressed is large enough.
func narrow(tb *tab, paths []string) {
	tb.width(320)
	for _, path := range paths {
		tb.visitDone(path)
		tb.unfold()
		if w := eval[int](tb, `document.documentElement.scrollWidth`); w > 320 {
			wide := eval[string](tb, `[...document.querySelectorAll("main *, header *")].filter(e => e.getBoundingClientRect().right > 321 && !e.closest(".scroll") && !e.closest("pre")).slice(0, 4).map(e => e.outerHTML.slice(0, 90)).join("\n")`)
			tb.t.Errorf("%s is %d wide:\n%s", path, w, wide)
		}
		small := eval[string](tb, `[...document.querySelectorAll("button, .button, input:not([type=hidden]):not([type=radio]):not([type=checkbox]), select, nav.work a, nav.shelf a, .pick, summary")].filter(e => { const r = e.getBoundingClientRect(); return r.width > 0 && r.height < 43.5; }).slice(0, 4).map(e => e.outerHTML.slice(0, 90)).join("\n")`)
		if small != "" {
			tb.t.Errorf("%s has small targets:\n%s", path, small)
		}
	}
}

// violation is what axe reports.
type violation struct {
	ID    string   `json:"id"`
	Help  string   `json:"help"`
	Nodes []string `json:"nodes"`
}

// axe runs the accessibility rules over pages, light and dark.
func axe(tb *tab, paths []string) {
	source := must(os.ReadFile("testdata/axe/axe.min.js"))(tb.t)
	tb.watchPolicy()
	for _, path := range paths {
		tb.scheme("light")
		tb.visitDone(path)
		if blocked := eval[string](tb, `(window.blocked || ["not watched"]).concat(performance.getEntriesByType("resource").map(e => e.name).filter(n => !n.startsWith(location.origin))).join(", ")`); blocked != "" {
			tb.t.Errorf("%s: the content policy blocks, or the page asks elsewhere for: %s", path, blocked)
		}
		if tb.shop.svc != nil && !strings.Contains(path, "open=") { // the page of all charts is no page of a shop
			tb.fits(path)
		}
		tb.unfold()
		eval[bool](tb, string(source)+"\n;true")
		rules := []string{"wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"}
		tb.noViolation(path+", light", rules...)
		// The scheme changes colours and nothing else of the page.
		tb.scheme("dark")
		tb.noViolation(path+", dark", "cat.color")
		// A phone, and a screen at twice the size: at night, since the rules take a second a page.
		for _, width := range depth.OneOfEach([]int64{1280, 320, 640}, func(int64) bool { return true })[1:] {
			tb.width(width)
			tb.noViolation(fmt.Sprintf("%s, %d pixels", path, width), rules...)
		}
		tb.width(1280)
	}
}

// unfold opens everything that folds.
func (tb *tab) unfold() {
	eval[bool](tb, `document.querySelectorAll("details").forEach(d => { d.open = true; }), true`)
}

// fits looks that a page of 1280 pixels is at most three screens high with what folds
// folded, is not wider than the screen and cuts no choice off.
func (tb *tab) fits(path string) {
	tb.t.Helper()
	if got := eval[[]int](tb, `[document.documentElement.scrollHeight, document.documentElement.scrollWidth]`); got[0] > 2400 || got[1] > 1280 {
		tb.t.Errorf("%s is %d × %d", path, got[1], got[0])
	}
	if cut := eval[string](tb, `[...document.querySelectorAll("select")].filter(e => e.checkVisibility()).filter(e => {
		const whole = e.cloneNode(true);
		whole.removeAttribute("id");
		Object.assign(whole.style, {position: "absolute", visibility: "hidden", width: "auto", maxWidth: "none"});
		whole.replaceChildren(e.selectedOptions[0]?.cloneNode(true) ?? "");
		e.after(whole);
		const need = whole.offsetWidth;
		whole.remove();
		return need > e.offsetWidth + 1;
	}).map(e => e.name).join(", ")`); cut != "" {
		tb.t.Errorf("%s cuts off what is chosen in %s", path, cut)
	}
}

// noViolation runs the rules that have one of the tags over the page as it is.
func (tb *tab) noViolation(name string, tags ...string) {
	tb.t.Helper()
	result, err := chromedp.Run(tb.ctx, chromedp.Evaluate[string](`axe.run(document, {
		runOnly: {type: "tag", values: ["`+strings.Join(tags, `", "`)+`"]}, resultTypes: ["violations"],
	}).then(r => JSON.stringify(r.violations.map(v => ({id: v.id, help: v.help, nodes: v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + " " + n.failureSummary)}))))`, chromedp.EvalAwaitPromise))
	if err != nil {
		tb.t.Fatalf("%s: %v", name, err)
	}
	var found []violation
	if err := json.Unmarshal([]byte(result), &found); err != nil {
		tb.t.Fatal(err)
	}
	for _, v := range found {
		tb.t.Errorf("%s: %s: %s\n%s", name, v.ID, v.Help, strings.Join(v.Nodes, "\n"))
	}
}
