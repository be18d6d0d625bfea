package web_test

import (
	"flag"
	"html/template"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	cdpage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"kerfbook/api/edge"
	"kerfbook/web/frame"
)

// renderGallery makes the page of all charts.
func renderGallery(t testing.TB) (*frame.Pages, []byte) {
	t.Helper()
	p, err := frame.LoadPages()
	if err != nil {
		t.Fatal(err)
	}
	g := must(template.ParseFS(frame.Files, "templates/layout.html", "templates/charts.html"))(t)
	if g, err = g.ParseFiles("testdata/gallery.html"); err != nil {
		t.Fatal(err)
	}
	p.Templates["gallery"] = g.Option("missingkey=error")
	text := must(p.Render("gallery", frame.Page{Title: "Charts", Body: newGallery(t)}))(t)
	return p, text
}

func TestGalleryKeepsTheRulesOfPages(t *testing.T) {
	t.Parallel()
	_, text := renderGallery(t)
	checkPage(t, "gallery", string(text))
}

// serveGallery serves the page of all charts under the policy of all pages.
func serveGallery(t *testing.T) *shop {
	t.Helper()
	p, text := renderGallery(t)
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if p.ServeStatic(w, r) {
			return
		}
		edge.PageHeaders(w.Header())
		w.Write(text)
	}))
	t.Cleanup(srv.Close)
	return &shop{Server: srv}
}

// TestGalleryInTheBrowser measures the charts where they are drawn. With the flag
// -artifacts it keeps what they look like.
func TestGalleryInTheBrowser(t *testing.T) {
	inBrowser(t)
	tb := serveGallery(t).open(t, chrome(t))
	axe(tb, []string{"/"})
	for _, width := range []int64{320, 500, 768, 1280} {
		tb.width(width)
		tb.visit("/")
		tb.textsApart(width, 50)
		for _, scheme := range []string{"light", "dark"} {
			tb.scheme(scheme)
			tb.keepPicture(scheme + "-" + strconv.FormatInt(width, 10))
		}
	}
	narrow(tb, []string{"/"})
	tb.keepPaper("")
}

// textsApart looks that no two texts of a chart overlap, and none is cut off by the
// edge of the page.
func (tb *tab) textsApart(width int64, least int) {
	tb.t.Helper()
	if n := eval[int](tb, `document.querySelectorAll(".plotted svg text").length`); n < least {
		tb.t.Errorf("only %d texts stand in the charts", n)
	}
	found := eval[string](tb, `[...document.querySelectorAll(".plotted")].flatMap(f => {
		const out = [], texts = [...f.querySelectorAll("svg text, .row-ends > span, p.row-name, .axis-name, .key li")].map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => r.width > 0);
		const name = f.querySelector("figcaption").textContent + ": ";
		texts.forEach(([e, r], i) => {
			if (r.left < 0 || r.right > innerWidth) out.push(name + e.textContent + " is cut off");
			texts.slice(i + 1).forEach(([o, q]) => {
				if (r.left < q.right - 1 && q.left < r.right - 1 && r.top < q.bottom - 3 && q.top < r.bottom - 3) out.push(name + e.textContent.trim() + " × " + o.textContent.trim());
			});
		});
		return out;
	}).join("\n")`)
	if found != "" {
		tb.t.Errorf("at a width of %d:\n%s", width, found)
	}
}

// artifacts tells whether pictures are to be kept: the flag -artifacts.
func artifacts() bool { return flag.Lookup("test.artifacts").Value.String() == "true" }

func (tb *tab) keepPicture(name string) {
	tb.t.Helper()
	if !artifacts() {
		return
	}
	picture := must(chromedp.Run(tb.ctx, chromedp.FullScreenshot(100)))(tb.t)
	tb.keep(name+".png", picture)
}

func (tb *tab) keepPaper(prefix string) {
	tb.t.Helper()
	if !artifacts() {
		return
	}
	if _, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{}); err != nil {
		tb.t.Fatal(err)
	}
	for name, size := range map[string][2]float64{"a4": {8.27, 11.69}, "letter": {8.5, 11}} {
		out := must(chromedp.Call(tb.ctx, cdpage.PrintToPDF, cdpage.PrintToPDFParams{PaperWidth: size[0], PaperHeight: size[1], PrintBackground: new(false)}))(tb.t)
		tb.keep(prefix+name+".pdf", out.Data)
	}
}

func (tb *tab) keep(name string, data []byte) {
	tb.t.Helper()
	if err := os.WriteFile(filepath.Join(tb.t.ArtifactDir(), name), data, 0o644); err != nil {
		tb.t.Fatal(err)
	}
}
