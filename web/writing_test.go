package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"kerfbook/web/frame"
)

// TestWrittenAsThePersonDoes: one chooses comma and dots; from then on pages show and
// read both, what was understood stands beside the field, and names stay as they are.
func TestWrittenAsThePersonDoes(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	const whatIf = "/change?key=work-centre/SAW/machine-rate&mix=plain%3D100"
	says(t, "with a point", b.page(whatIf), `value="9.5"`)
	code, page := b.post("/writing", url.Values{"mark": {"comma"}, "days": {"dots"}})
	checkPage(t, "/writing", page)
	if code != http.StatusOK {
		t.Fatalf("choosing answers %d", code)
	}
	says(t, "the choice", page, "12,5, 25.11.2026", `<option value="comma" selected>`)
	says(t, "with a comma", b.page(whatIf), `value="9,5"`)
	page = b.page(whatIf + "&value=41,50")
	says(t, "a comma typed", page, `value="41,50"`, "See the effect", "Save as the next revision")
	if strings.Contains(page, "understood as") {
		t.Error("what needs no saying is said")
	}
	says(t, "a search for a number", b.page("/change?mix=plain%3D100&find=saw+9,5"), "machine rate")
	same := b.page(whatIf + "&value=41.5")
	says(t, "a point typed", same, `understood as <span class="name">41,5 EUR/h</span>`)
	b.refuses(whatIf, map[string][]string{
		"&value=1.234": {`href="#f-value"`, "1234 or 1,234", `value="1.234"`},
		"&value=2+mm":  {`href="#f-value"`, "counted in EUR/h"},
	})
	code, page = b.post("/change", url.Values{"key": {"work-centre/SAW/machine-rate"}, "mix": {"plain=100"}, "value": {"41,50"}, "version": {hidden(t, same, "version")}})
	if code != http.StatusOK {
		t.Fatalf("saving 41,50 answers %d\n%s", code, page)
	}
	says(t, "the proof", page, `data-value="41.5"`, ">41,5</")
	says(t, "what is tried", b.page("/writing?text=1+1/2+in&unit=mm"), `understood as <span class="name">38,1 mm</span>`)
	b.refuses("/writing?", map[string][]string{"text=1.234&unit=mm": {`href="#f-text"`, "1234 or 1,234"}, "text=two&unit=mm": {"not a number"}})
	start := b.page("/?day=1.12.2026")
	says(t, "the start page", start, ">01.12.2026</time>", `datetime="2026-12-01"`)
	b.refuses("/?", map[string][]string{"day=soon": {"25.11.2026"}})
}

// TestWrittenAsTheBrowserSays: nobody has chosen yet.
func TestWrittenAsTheBrowserSays(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	b.Transport = languages("de-AT,de;q=0.9")
	page := b.page("/parts/HS-010")
	checkPage(t, "/parts/HS-010", page)
	says(t, "a part", page, "12,5, 25.11.2026")
	if n := strings.Count(page, "HS-010"); n < 3 {
		t.Errorf("the number of the part stands %d times", n)
	}
}

// languages is what a browser says it reads.
type languages string

func (l languages) RoundTrip(r *http.Request) (*http.Response, error) {
	r.Header.Set("Accept-Language", string(l))
	return http.DefaultTransport.RoundTrip(r)
}

// TestNumbersOfEveryPageAreRead: of a page in another style nothing differs from the
// page as it is but how numbers and days are written.
func TestNumbersOfEveryPageAreRead(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	plain, other := s.signIn(t), s.signIn(t)
	other.Transport = languages("pt-PT")
	marks := strings.NewReplacer(".", "", ",", "", "-", "", "/", "", "%2C", "")
	for _, path := range []string{"/", "/landed", "/parts/HS-010", "/rates", "/book/rate_cards/2026", "/compare?a.trim=plain&b.trim=glow"} {
		a, b := plain.page(path), other.page(path)
		checkPage(t, path, b)
		if len(marks.Replace(a)) != len(marks.Replace(b)) {
			t.Errorf("%s differs in more than its marks", path)
		}
		if a == b {
			t.Errorf("%s is written with points", path)
		}
	}
}

// TestOpenedByTheProgram: a link that the program opens signs in without a press, and what is
// typed is told as it is understood before anything is sent.
func TestOpenedByTheProgram(t *testing.T) {
	inBrowser(t)
	s := emptyShop(t)
	tb := s.open(t, chrome(t))
	tb.visit(frame.SignInPath(must(s.svc.NewSignInLink(t.Context()))(t)) + frame.AtOnce)
	c := &clerk{tab: tb}
	tb.do(chromedp.Sleep(time.Second), chromedp.WaitVisible(chromedp.CSS("main h1"))) // the link goes on by itself
	c.expect("main", "A part of mine")
	tb.visit("/parts/first")
	c.fill("#f-length", "3/8 in")
	c.fill("#f-diameter", "12,5") // leaves the one before
	c.expect("#form", "understood as 9.525 mm")
}

// TestQuoteAndFirstPartWithCommas: what a comma person types into the form of a quote and
// into the first questions counts as it was meant, from the preview to what is kept.
func TestQuoteAndFirstPartWithCommas(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	b.post("/writing", url.Values{"mark": {"comma"}, "days": {"dots"}})
	form := demoQuote()
	for name, typed := range map[string]string{"q.plain": "1.500", "discount": "2,5 %", "delivery.charge": "12,50 €"} {
		form.Set(name, typed)
	}
	code, preview := b.post("/quotes", form)
	checkPage(t, "preview", preview)
	if code != http.StatusOK {
		t.Fatalf("the preview: %d", code)
	}
	says(t, "the preview", preview, `data-value="1500"`, `data-value="12.5"`, ">12,50<", `name="discount" value="2,5 %"`)
	code, page := b.post("/quotes", previewForm(preview))
	if code != http.StatusOK {
		t.Fatalf("issuing: %d", code)
	}
	says(t, "the quote", page, ">12,50<")
	number := regexp.MustCompile(`/quotes/(\d{4}-\d{4})/`).FindStringSubmatch(page)[1]
	says(t, "its revision", b.page("/quotes/"+number+"/revise"), `name="discount" type="text" value="0,025"`, `name="delivery.charge" type="text" value="12,50"`)
	form.Set("delivery.charge", "1.250")
	code, refused := b.post("/quotes", form)
	if code != http.StatusUnprocessableEntity || !strings.Contains(refused, `value="1.250"`) {
		t.Errorf("an amount with two meanings: %d", code)
	}
	const field = "/change?key=book/parts/HS-010/blank.length_mm&mix=plain%3D100"
	says(t, "a field", b.page(field+"&value=62,5"), "Save as the next revision", `name="value" value="62,5"`)
	b.refuses(field, map[string][]string{"&value=1.250": {"1250 or 1,250"}})

	empty := emptyShop(t).signIn(t)
	empty.Transport = languages("de-DE")
	part := url.Values{"name": {"spacer"}, "way": {"turned"}, "material": {"brass"}, "length": {"22,5"}, "diameter": {"Ø 3/4 in"}, "hour": {"58,00 €"}, "pieces": {"1.500"}, "country": {"DE"}, "currency": {"EUR"}}
	code, page = empty.post("/parts/first", part)
	if code != http.StatusOK {
		t.Fatalf("the first part: %d\n%s", code, page)
	}
	record := empty.page("/book/parts/SPACER")
	says(t, "the part", record, "22,5", "19,05")
}
