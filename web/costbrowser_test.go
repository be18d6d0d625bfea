package web_test

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestCostPagesInTheBrowser looks at the pages about how sure, how much and why
// as they are drawn. With the flag -artifacts it keeps what they look like.
func TestCostPagesInTheBrowser(t *testing.T) {
	inBrowser(t)
	ctx, s := chrome(t), demoShop(t)
	issueDemoQuote(t, s.signIn(t))
	paths := oneOfEach(costPagePaths)
	t.Run("axe", func(t *testing.T) { t.Parallel(); axe(s.openSignedIn(t, ctx), paths) })
	t.Run("narrow", func(t *testing.T) { t.Parallel(); narrow(s.openSignedIn(t, ctx), paths) })
	t.Run("progress", func(t *testing.T) { progress(impatientShop(t).openSignedIn(t, ctx)) })
	for name, path := range costPictures {
		t.Run("pictures of "+name, func(t *testing.T) { t.Parallel(); picture(s.openSignedIn(t, ctx), name, path) })
	}
}

// picture looks that no texts of charts lie on one another on narrow and wide
// screens, and keeps pictures in both schemes and on paper where they are wanted.
func picture(tb *tab, name, path string) {
	for _, width := range []int64{320, 1280} {
		tb.width(width)
		tb.visitDone(path)
		if eval[bool](tb, `document.querySelector(".plotted") !== null`) {
			tb.textsApart(width, 3)
		}
		if !artifacts() {
			continue
		}
		for _, scheme := range []string{"light", "dark"} {
			tb.scheme(scheme)
			tb.keepPicture(name + "-" + scheme + map[int64]string{320: "-narrow", 1280: "-wide"}[width])
		}
	}
	tb.keepPaper(name + "-")
}

// costPictures are the pages that pictures are kept of.
var costPictures = map[string]string{
	"spread": "/spread", "spread-price": costPagePaths[3], "spread-problems": costPagePaths[5], "curve": "/curve", "curve-two": "/curve?trim=plain&b.trim=glow&from=1&to=2000",
	"compare": "/compare", "compare-quantities": "/compare?a.trim=plain&a.pieces=100&b.trim=plain&b.pieces=400",
}

// progress waits for draws and cancels others, without scripts.
func progress(tb *tab) {
	tb.noScripts()
	tb.visit("/spread?trim=plain&pieces=100&draws=300000&seed=5")
	tb.until("Answer", "main")
	tb.visit(longDraws + "6")
	tb.expect("h1", "Drawing")
	tb.keepPicture("progress")
	for range 20 { // the page may look again by itself just when the button is pressed
		chromedp.RunResponse(tb.ctx, chromedp.Click(chromedp.CSS("main form button")))
		got, err := chromedp.Run(tb.ctx, chromedp.TextContent(chromedp.CSS("main")))
		if err == nil && strings.Contains(got, "The draws were cancelled") {
			tb.keepPicture("cancelled")
			return
		}
	}
	tb.t.Errorf("at %s: not cancelled", tb.where())
}

// until waits for words that come by themselves.
func (tb *tab) until(words, selector string) {
	tb.t.Helper()
	for {
		got, err := chromedp.Run(tb.ctx, chromedp.TextContent(chromedp.CSS(selector)))
		if err == nil && strings.Contains(got, words) {
			return
		}
		tb.do(chromedp.Sleep(100 * time.Millisecond))
	}
}
