package web_test

import (
	"context"
	"net/http"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	cdpage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"kerfbook/testdata/depth"
)

// chromium is where the browser is found.
const chromium = "/usr/bin/chromium"

// inBrowser begins a test that starts a browser, which the short tests leave out.
func inBrowser(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	t.Parallel()
}

// chrome starts one browser for a test; tabs of it are cheap.
func chrome(t *testing.T) context.Context {
	t.Helper()
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium), chromedp.NoSandbox,
		chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-gpu", true), chromedp.WindowSize(1280, 900))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stop)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	return ctx
}

// tab is a tab of a browser that looks at a shop.
type tab struct {
	t    *testing.T
	ctx  context.Context
	shop *shop
}

// open opens a tab; it has four minutes for all it does by day, and forty at night.
func (s *shop) open(t *testing.T, ctx context.Context) *tab {
	t.Helper()
	own, cancel := chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	if err := chromedp.Do(own, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	timed, stop := context.WithTimeout(own, time.Duration(depth.Of(40))*time.Minute)
	t.Cleanup(stop)
	tb := &tab{t, timed, s}
	tb.scheme("light") // and without motion: a page that still glides is pressed beside what was meant
	return tb
}

// openSignedIn opens a tab that has the session of a signed-in browser.
func (s *shop) openSignedIn(t *testing.T, ctx context.Context) *tab {
	t.Helper()
	b := s.signIn(t)
	tb := s.open(t, ctx)
	for _, c := range b.cookies() {
		tb.cookie(c)
	}
	return tb
}

func (tb *tab) cookie(c *http.Cookie) {
	tb.t.Helper()
	if _, err := chromedp.Call(tb.ctx, network.SetCookie, network.SetCookieParams{Name: c.Name, Value: c.Value, URL: tb.shop.URL}); err != nil {
		tb.t.Fatal(err)
	}
}

// do runs steps that must succeed.
func (tb *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	tb.t.Helper()
	if err := chromedp.Do(tb.ctx, steps...); err != nil {
		tb.t.Fatalf("at %s: %v", tb.where(), err)
	}
}

func (tb *tab) where() string {
	at, _ := chromedp.Run(tb.ctx, chromedp.Location())
	return at
}

// visit goes to a page of the shop.
func (tb *tab) visit(path string) {
	tb.t.Helper()
	tb.do(chromedp.Navigate(tb.shop.URL + path))
}

// visitDone visits a page and waits while it shows progress: such a page loads
// itself anew at any moment, and takes with it what a test has put there.
func (tb *tab) visitDone(path string) {
	tb.t.Helper()
	tb.visit(path)
	for end := time.Now().Add(2 * time.Minute); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		// An error is a page that was exchanged while it was asked.
		done, err := chromedp.Run(tb.ctx, chromedp.Evaluate[bool](`document.readyState === "complete" && !document.querySelector("progress")`))
		if err == nil && done {
			return
		}
	}
	tb.t.Fatalf("%s is not done", path)
}

// eval runs a script and gives what it returns.
func eval[T any](tb *tab, script string) T {
	tb.t.Helper()
	v, err := chromedp.Run(tb.ctx, chromedp.Evaluate[T](script))
	if err != nil {
		tb.t.Fatalf("at %s: %s: %v", tb.where(), script, err)
	}
	return v
}

// scheme makes the page light or dark.
func (tb *tab) scheme(name string) {
	tb.t.Helper()
	if _, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
		{Name: "prefers-color-scheme", Value: name}, {Name: "prefers-reduced-motion", Value: "reduce"}}}); err != nil {
		tb.t.Fatal(err)
	}
}

// width sets the width of the window.
func (tb *tab) width(pixels int64) {
	tb.t.Helper()
	tb.do(chromedp.EmulateViewport(pixels, 900))
}

// noScripts switches scripts off.
func (tb *tab) noScripts() {
	tb.t.Helper()
	if _, err := chromedp.Call(tb.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		tb.t.Fatal(err)
	}
}

// watchPolicy notes on every page to come what its content policy blocks.
func (tb *tab) watchPolicy() {
	tb.t.Helper()
	const watch = `window.blocked = []; document.addEventListener("securitypolicyviolation", e => window.blocked.push(e.violatedDirective + " " + e.blockedURI));`
	if _, err := chromedp.Call(tb.ctx, cdpage.AddScriptToEvaluateOnNewDocument, cdpage.AddScriptToEvaluateOnNewDocumentParams{Source: watch}); err != nil {
		tb.t.Fatal(err)
	}
}
