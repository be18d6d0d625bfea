package web_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"kerfbook/testdata"
	"kerfbook/web"
	"kerfbook/web/frame"
)

// demoPages are pages that the demo book has, each reached by a GET. The crawler goes on
// from them by their links, and wants a page of every address of every room.
var demoPages = []string{
	"/", "/?n.plain=250&n.glow=80&n.tune=&as=one", "/trims", "/trims?as=one", "/landed", "/landed?trim=tune", "/landed?trim=pair", "/parts", "/parts?search=heat+sink", "/parts?search=nothing-like-it",
	"/parts/HS-010", "/parts/HS-010/first", "/parts/HS-010/price?mix=part%3AHS-010%400.4%2Bto%3ADE%2Bto%3AUS%2Bto%3ANL%3D45&day=2026-11-25", "/parts/HS-020", "/parts/ENG-27M", "/parts/LB-27", "/parts/PLATE-W", "/rates", "/sources", "/sources?place=US", "/sources?about=stainless-316l", "/sources?about=small-lathe", "/sources?about=finishes", "/book/materials/starters", "/book/tools/starters?search=drills", "/book/work_centres/starters", "/book", "/book/parts", "/book/destinations",
	"/book/rules", "/book/shop", "/book/rate_cards/2026", "/book/products/LAMP", "/book/carriers/ROAD", "/book/offers/CU-60X20.ORVENDA", "/book/destinations/CA-ON", "/book/prices/LAMP._.direct",
	"/book/parts/HS-010/edit", "/book/parts/new", "/book/parts/HS-010/revisions?show=1", "/book/import", "/book/offers/table", "/book/rules/table", "/book/rules.tariff/table", "/parts/HS-010/import", "/changes", "/changes?verify=1", "/shop", "/prices", "/writing", "/quotes", "/quotes/new",
	"/proof/variant/plain/each/full?mix=plain%3D100&day=2026-11-25", "/proof/part/HS-010/op/30/cutting?mix=plain%3D100", "/proof/tariff/US/94052160/2022-01-27/by-value?mix=plain%3D100",
	"/proof/book/offers/CU-60X20.ORVENDA/breaks%5B1%5D.price", "/proof/book/reference/taxes%5B0%5D/rate",
	"/change?key=work-centre/MILL/labour-rate&mix=plain%3D100,glow%3D100", "/change?key=work-centre/MILL/labour-rate&mix=plain%3D100,glow%3D100&value=41.50",
	"/change?key=work-centre/MILL/labour-rate&mix=plain%3D100&value=-4", "/change", "/change?find=mill+labour", "/scenarios",
	"/change?mix=plain%3D100&key=work-centre/MILL/labour-rate&value=41.50&key=book/parts/HS-010/routing%5B3%5D&value.1=&find=mill",
	"/spread", "/spread?trim=glow&pieces=250&c.mount=wall", "/curve?trim=plain&b.trim=glow", "/compare?a.trim=plain&b.trim=glow", "/compare?a.trim=plain&a.pieces=100&b.trim=plain&b.pieces=400",
}

// emptyPages are pages that say something useful about an empty book.
var emptyPages = []string{"/", "/trims", "/parts/first", "/spread", "/curve", "/compare", "/landed", "/parts", "/rates", "/sources", "/book", "/book/parts", "/book/parts/new", "/book/tools/starters", "/book/import", "/changes", "/shop", "/quotes", "/quotes/new", "/change", "/scenarios"}

// anyPage gets a page, one with problems included.
func (b *browser) anyPage(path string) string {
	b.t.Helper()
	code, body := b.get(path)
	if code != http.StatusOK && code != http.StatusUnprocessableEntity {
		b.t.Fatalf("%s: %d\n%s\nlog: %s", path, code, body, b.shop.log)
	}
	return body
}

func TestPagesOfTheDemoBook(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	for _, path := range slices.Concat(demoPages, []string{"/curve?mix=part%3AHS-010%3D45"}) {
		text := b.anyPage(path)
		checkPage(t, path, text)
		doc := parsed(t, text)
		navigates(t, path, doc)
		speaks(t, path, doc)
	}
}

// navigates: the navigation has at most twelve entries, each a page, and marks where one is.
func navigates(t *testing.T, path string, doc *html.Node) {
	t.Helper()
	entries, marked := 0, 0
	for _, n := range append(withClass(doc, "work"), withClass(doc, "shelf")...) {
		nodes(n, func(n *html.Node) {
			if n.Data != "a" && n.Data != "button" {
				return
			}
			if entries++; strings.Contains(attr(n, "href"), "#") {
				t.Errorf("%s: the entry %s leads into a page", path, textOf(n))
			}
			if hasAttr(n, "aria-current") {
				marked++
			}
		})
	}
	if entries < 9 || entries > 12 || marked != 1 {
		t.Errorf("%s: %d entries, %d of them marked", path, entries, marked)
	}
}

func TestPagesOfAnEmptyBook(t *testing.T) {
	t.Parallel()
	b := emptyShop(t).signIn(t)
	for _, path := range emptyPages {
		text := b.page(path)
		checkPage(t, path, text)
		speaks := slices.Contains([]string{"/parts/first", "/book/import", "/sources", "/book/parts/new", "/book", "/changes"}, path)
		if !speaks && !strings.Contains(text, `class="empty"`) && !strings.Contains(text, `class="begin"`) {
			t.Errorf("%s does not say what the page is for", path)
		}
	}
}

func TestErrorPages(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	for path, want := range map[string]int{
		"/nowhere": http.StatusNotFound, "/parts/NONE": http.StatusNotFound, "/book/nothing": http.StatusNotFound, "/book/parts/NONE": http.StatusNotFound,
		"/proof/no/such/key?mix=plain%3D100": http.StatusNotFound, "/proof/book/parts/HS-010/routing%5B99%5D.yield": http.StatusNotFound,
		"/quotes/2026-9999": http.StatusNotFound, "/?n.plain=1e999999999": http.StatusUnprocessableEntity, "/?n.plain=": http.StatusUnprocessableEntity,
		"/?mix=nobody%3D3": http.StatusUnprocessableEntity, "/?day=tomorrow": http.StatusUnprocessableEntity, "/sign-out": http.StatusMethodNotAllowed,
	} {
		code, body := b.get(path)
		if code != want {
			t.Errorf("%s: %d, want %d", path, code, want)
		}
		checkPage(t, path, body)
		if !strings.Contains(body, "<title>Error: ") {
			t.Errorf("%s: the title does not say that there is an error", path)
		}
	}
}

func TestWhatWasTypedStays(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	_, body := b.get("/?n.plain=12%2C5&n.glow=70&day=2026-11-25")
	says(t, "the page", body, `value="12,5"`, `value="70"`, `href="#f-n-plain"`, "Quantity of Plain")
}

func TestARangeOfABatchIsRefused(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	code, body := b.get("/?n.plain=50+%E2%80%93+500&n.glow=70&day=2026-11-25")
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "50 – 500 is a range, and a batch is made in one quantity") || !strings.Contains(body, "batch curve") {
		t.Errorf("status %d, without what a range means for a batch", code)
	}
}

func TestNobodySignedIn(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	v := s.visitor(t)
	v.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	for _, path := range append(append([]string{}, demoPages...), "/book/export") {
		r := must(v.Get(s.URL + path))(t)
		r.Body.Close()
		if r.StatusCode != http.StatusSeeOther || r.Header.Get("Location") != "/sign-in" {
			t.Errorf("%s: %d to %q, want to be asked to sign in", path, r.StatusCode, r.Header.Get("Location"))
		}
	}
}

func TestSignInLinkWorksOnce(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	secret := must(s.svc.NewSignInLink(t.Context()))(t)
	first, second := s.visitor(t), s.visitor(t)
	for range 3 {
		text := first.page(frame.SignInPath(secret))
		checkPage(t, "/sign-in", text)
		if !strings.Contains(text, "Sign in</button>") {
			t.Fatal("opening the link shows no button")
		}
	}
	if code, body := first.post("/sign-in", url.Values{"link": {secret}}); code != http.StatusOK || !strings.Contains(body, "What each trim costs") {
		t.Fatalf("the link does not sign in: %d", code)
	}
	code, body := second.post("/sign-in", url.Values{"link": {s.URL + frame.SignInPath(secret)}})
	checkPage(t, "spent link", body)
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "used before") {
		t.Errorf("a spent link: %d", code)
	}
	if strings.Contains(s.log.String(), secret) {
		t.Error("the secret of the link is in the log")
	}
	if code, body := first.post("/sign-out", nil); code != http.StatusOK || !strings.Contains(body, "Sign in with a link") {
		t.Errorf("sign-out: %d", code)
	}
	if _, body := first.get("/"); !strings.Contains(body, "Sign in with a link") {
		t.Error("signed out, and the pages still open")
	}
}

// TestARightLinkNeverWaits sends wrong links until the answer is to wait, and then
// a right one from the same address.
func TestARightLinkNeverWaits(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.visitor(t)
	codes := map[int]int{}
	for range 20 {
		code, _ := b.post("/sign-in", url.Values{"link": {strings.Repeat("a", 43)}})
		codes[code]++
	}
	if codes[http.StatusUnprocessableEntity] == 0 || codes[http.StatusTooManyRequests] == 0 || len(codes) != 2 {
		t.Errorf("wrong links: %v", codes)
	}
	s.signIn(t)
}

// TestHeaders checks what every answer carries.
func TestHeaders(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	for _, path := range []string{"/", "/nowhere", "/book/export"} {
		r := must(b.Get(b.shop.URL + path))(t)
		r.Body.Close()
		policy := r.Header.Get("Content-Security-Policy")
		if !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") || r.Header.Get("X-Content-Type-Options") != "nosniff" || r.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s: headers %v", path, r.Header)
		}
	}
}

// TestOtherSitesChangeNothing posts as a page of another site would.
func TestOtherSitesChangeNothing(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	paths := []string{"/sign-in", "/sign-out"}
	for _, a := range slices.Concat(web.Rooms()...) {
		if a.Method == http.MethodPost {
			paths = append(paths, strings.NewReplacer("{kind}", "parts", "{id}", "HS-010", "{number}", "HS-010").Replace(a.Pattern))
		}
	}
	for _, path := range paths {
		req := must(http.NewRequest(http.MethodPost, b.shop.URL+path, strings.NewReader("act=issue")))(t)
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Header.Set("Sec-Fetch-Site", "cross-site")
		if code, _ := b.read(b.Do(req)); code != http.StatusForbidden {
			t.Errorf("%s: %d, want 403", path, code)
		}
	}
}

// TestLongAndHostileNames shows a book whose texts are long and look like markup,
// formulas and scripts.
func TestLongAndHostileNames(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("heat sink with a very long name ", 4)
	hostile := `</title><script>alert(1)</script>"'=1+1 & ` + long
	text := strings.NewReplacer(
		"name: heat sink\n", "name: '"+strings.ReplaceAll(hostile, "'", "''")+"'\n",
		"name: Ostrel Workshop", "name: 'Ostrel <b>Workshop</b>'", "name: Plain,", `name: "<i>Plain</i>",`,
	).Replace(string(testdata.Demo))
	b := shopWith(t, []byte(text)).signIn(t)
	for _, path := range demoPages {
		body := b.anyPage(path)
		checkPage(t, path, body)
		for _, raw := range []string{"<script>alert", "<b>Workshop", "<i>Plain"} {
			if strings.Contains(body, raw) {
				t.Errorf("%s shows %s as markup", path, raw)
			}
		}
	}
	if !strings.Contains(b.page("/parts/HS-010"), "alert(1)") {
		t.Error("the hostile name is not shown at all, so that this test shows nothing")
	}
}
