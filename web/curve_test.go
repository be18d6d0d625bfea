package web_test

import (
	"strconv"
	"strings"
	"testing"

	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
)

// TestCurveIsWhatTheServiceSays asks by hand what the page asks.
func TestCurveIsWhatTheServiceSays(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	want, _, err := s.svc.Curve(t.Context(), study.CurveRequest{Day: "2026-11-25", From: 20, To: 90, Quantity: 60, Curves: []study.Selection{{Trim: "plain"}, {Trim: "glow"}}})
	if err != nil {
		t.Fatal(err)
	}
	body := s.signIn(t).page("/curve?trim=plain&pieces=60&from=20&to=90&b.trim=glow&breaks=all")
	doc := parsed(t, body)
	first := want.Curves[0]
	for place, value := range map[string]string{
		"/curves/0/breaks/0/effect": first.Breaks[0].Effect, "/curves/0/pay_back/0/pieces_to_sell": first.PayBack[0].Sell,
		"/curves/1/pay_back/1/pays_at": want.Curves[1].PayBack[1].Free,
	} {
		if got := statOf(doc, place); got != value || value == "" {
			t.Errorf("%s: the page has %q, the service %q", place, got, value)
		}
	}
	for _, value := range []string{first.Breaks[0].Before, first.Breaks[0].After, first.Least.Value, first.Marks[1].Value} {
		if !strings.Contains(body, `data-key="variant/plain/each/full" data-value="`+value+`"`) {
			t.Errorf("the page lacks the figure %s", value)
		}
	}
	says(t, "the page", body, first.Breaks[0].Causes[0].Words, "changes at", "is cheaper")
}

func TestCurveProblems(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	b.refuses("/curve?trim=plain&", map[string][]string{
		"from=90&to=20":                  {`href="#f-to"`, `value="90"`, `value="20"`},
		"from=0":                         {`href="#f-from"`},
		"from=1&to=99999999999999999999": {`href="#f-to"`},
		"from=1&to=100000":               {`href="#f-to"`, "draw the range in pieces"},
		"pieces=x":                       {`href="#f-pieces"`, `value="x"`},
		"figure=none":                    {`href="#f-figure"`},
		"b.trim=nobody":                  {`href="#f-b-trim"`},
		"day=soon":                       {`href="#f-day"`, `value="soon"`},
	})
	if body := b.page("/curve?trim=plain&b.trim=plain&b.c.light=tunable"); !strings.Contains(body, "the colour sensor sits in the aluminium shade") {
		t.Error("a broken rule is not told")
	}
}

// TestCrossingInWords tells up to where which one is cheaper.
func TestCrossingInWords(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	path := "/curve?from=10&to=300&trim=plain&b.trim=plain&b.c.shade=alu&b.c.mount=wall"
	body := s.signIn(t).page(path)
	result, _, err := s.svc.Curve(t.Context(), study.CurveRequest{Day: "2026-11-25", From: 10, To: 300, Quantity: 100,
		Curves: []study.Selection{{Trim: "plain"}, {Trim: "plain", Choices: map[bom.ID]bom.ID{"shade": "alu", "mount": "wall"}}}})
	if err != nil || len(result.Crossing.Crossings) != 1 {
		t.Fatalf("%+v %v", result.Crossing, err)
	}
	x := result.Crossing.Crossings[0]
	names := map[string]string{study.LowerFirst: "Plain", study.LowerSecond: "Plain with aluminium shade and wall"}
	doc := parsed(t, body)
	lead := ""
	for _, n := range withClass(doc, "lead") {
		lead = textOf(n)
	}
	want := names[x.Before] + " is cheaper up to " + pieces(x.UpTo) + ", " + names[x.After] + " from " + pieces(x.From) + "."
	if lead != want {
		t.Errorf("the page says %q, want %q", lead, want)
	}
}

func pieces(n study.Pieces) string { return strconv.FormatInt(int64(n), 10) }

// TestPagesOverSharedStock: how bars that two parts share are cut is found again where a
// page leaves what it was found for: every quantity of a curve, a longer bar, a draw.
func TestPagesOverSharedStock(t *testing.T) {
	t.Parallel()
	b := shopWith(t, []byte(booktest.SharedStock)).signIn(t)
	for path, want := range map[string]string{
		"/curve?trim=only&pieces=8&from=1&to=60":                               "changes at",
		"/spread?mix=only%3D8&draws=2000":                                      "variant/only/each/full",
		"/change?mix=only%3D8&key=book/stocks/BAR/length_mm&value=3500":        "variant/only/each/full",
		"/change?mix=only%3D8&key=stock/BAR/length&value=3500":                 "variant/only/each/full",
		"/curve?trim=only&pieces=8&from=1&to=60&b.trim=only&figure=production": "changes at",
	} {
		body := b.page(path)
		checkPage(t, path, body)
		if strings.Contains(body, `class="problem`) || !strings.Contains(body, want) {
			t.Errorf("%s does not say %q", path, want)
		}
	}
}

// TestHowManyInASentence: the page of a curve begins with how many to make, at what is
// asked for, drawn from half to double of that and tall enough for steps to be seen.
func TestHowManyInASentence(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	const path = "/curve?trim=glow&pieces=100"
	body := b.page(path)
	doc := parsed(t, body)
	text := textOf(doc)
	says(t, "the page", text, "How many? Glow", "Make 106, not 107, unless all sell in own shop: the 107th costs 200.09.", "It needs a sixth plate for desk base. It brings 214.00 in own shop, 166.60 in dealers.", "193 is the next good number, 121.48 each",
		"106 → 107 adds 200.09", "116 → 117 adds 298.55")
	if from, to := attrOf(doc, "from"), attrOf(doc, "to"); from != "50" || to != "201" {
		t.Errorf("drawn from %s to %s", from, to)
	}
	for _, n := range withClass(doc, "chart") {
		if h, err := strconv.Atoi(attr(n, "height")); err != nil || h < 420 {
			t.Errorf("the curve is %s px high", attr(n, "height"))
		}
	}
}
