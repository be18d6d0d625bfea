package web_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestPartPagesInTheBrowser looks at the pages of parts as they are drawn, and tries
// a demand out from the page of a part. With the flag -artifacts it keeps what they
// look like.
func TestPartPagesInTheBrowser(t *testing.T) {
	inBrowser(t)
	ctx, s := chrome(t), featureShop(t)
	pages := oneOfEach(featurePages)
	t.Run("axe", func(t *testing.T) { t.Parallel(); axe(s.openSignedIn(t, ctx), pages) })
	t.Run("narrow", func(t *testing.T) { t.Parallel(); narrow(s.openSignedIn(t, ctx), pages) })
	t.Run("what if", func(t *testing.T) { tryOut(s.openSignedIn(t, ctx)) })
	t.Run("why these minutes", func(t *testing.T) { minutesWalk(s.openSignedIn(t, ctx)) })
	for name, path := range map[string]string{"part": featurePages[0], "part-shared": featurePages[3], "part-discs": featurePages[2], "part-change": featurePages[5]} {
		t.Run("pictures of "+name, func(t *testing.T) { t.Parallel(); picture(s.openSignedIn(t, ctx), name, path) })
	}
}

// tryOut chooses a dimension on the page of a part, without scripts, and reads what
// a thinner fin costs.
func tryOut(tb *tab) {
	tb.noScripts()
	tb.visit(featurePages[0])
	tb.do(chromedp.Click(chromedp.CSS("details.fold:has(#f-find) > summary")))
	tb.fill("#f-find", "HS-110 fin width")
	tb.press("details.fold:has(#f-find) button")
	tb.press(".found button")
	tb.fill("#f-value", "0.6")
	tb.press("#form .actions button")
	tb.expect("h1", "fin width")
	tb.expect("main h2", "Effect")
	tb.expect("#effect-part", "heat sink")
	if text := eval[string](tb, `document.querySelector("table:has(#effect-part) tbody tr td:nth-of-type(3)").textContent`); !strings.HasPrefix(text, "+") {
		tb.t.Errorf("thinner fins take %s minutes more", text)
	}
}

// minutesWalk reads from the list of parts why a part takes its minutes, and what its
// drawing asks, in one press, and takes the table down with one more.
func minutesWalk(tb *tab) {
	c := &clerk{tab: tb}
	c.visit("/parts")
	c.press(`main a[href^="/parts/HS-110"]`)
	c.expect("#minutes", "Why these minutes")
	c.expect("#call-outs-title", "What the drawing asks")
	c.atMost("why these minutes", 1, 0, 1)
	text, err := chromedp.Run(tb.ctx, chromedp.Evaluate[string](`fetch(document.querySelector('section[aria-labelledby="minutes"] a[href*="minutes.csv"]').href).then(r => r.text())`, chromedp.EvalAwaitPromise))
	if err != nil || !strings.Contains(text, "\"operation\",\"feature\"") || !strings.Contains(text, "\"FINS\"") || !strings.Contains(text, "\"SAW") {
		tb.t.Errorf("%v; the table begins %.200q", err, text)
	}
}
