package web_test

import (
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/api/edge"
	"kerfbook/api/service/runs"
	"kerfbook/web"
	"kerfbook/web/frame"
)

// statOf finds the number of a page that stands at a place of the answer.
func statOf(doc *html.Node, place string) string {
	value := ""
	nodes(doc, func(n *html.Node) {
		if attr(n, "data-stat") == place {
			value = attr(n, "data-value")
		}
	})
	return value
}

// TestSpreadIsWhatTheServiceSays asks by hand what the page asks.
func TestSpreadIsWhatTheServiceSays(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b, _, err := s.svc.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	mix := must(answer.ParseMix(b, "glow+wall=250"))(t)
	price, chance := answer.Figure{Value: "300"}, answer.Figure{Value: "0.75"}
	p, _ := price.Number()
	q, _ := chance.Number()
	run, err := s.svc.Spread(t.Context(), study.SpreadRequest{Batch: change.Batch{Mix: mix, Day: "2026-11-25"}, Draws: 12_000, Seed: 9, Hindsight: true,
		Movers: "variant/glow.mount-wall/each/production", Prices: []study.PriceQuestion{{Channel: "direct", Price: &p, Chance: &q}}})
	if err != nil {
		t.Fatal(err)
	}
	want, ok, err := run.Wait(t.Context())
	if err != nil || !ok {
		t.Fatal(err)
	}
	body := s.signIn(t).page("/spread?trim=glow&c.mount=wall&pieces=250&draws=12000&seed=9&decide=hindsight&price=300&chance=75&channel=direct&figure=variant%2Fglow.mount-wall%2Feach%2Fproduction")
	doc := parsed(t, body)
	for place, value := range map[string]string{
		"/draws": strconv.Itoa(want.Draws), "/seed": "9",
		"/figures/0/quantiles/3/value":                want.Figures[0].Quantiles[3].Value,
		"/figures/0/quantiles/3/standard_error":       want.Figures[0].Quantiles[3].Error,
		"/channels/0/chance/value":                    want.Channels[0].Chance.Value,
		"/channels/0/chance_at/0/chance/value":        want.Channels[0].At[0].Chance.Value,
		"/channels/0/price_at_chance/1/price/value":   want.Channels[0].Prices[1].Price.Value,
		"/channels/0/price_at_chance/1/price_point":   want.Channels[0].Prices[1].Point,
		"/movers/tornado/0/figure_at_p90":             want.Movers.Tornado[0].FigureAtP90,
		"/movers/shares/0/total/value":                want.Movers.Shares[0].Total.Value,
		"/movers/shares/0/first_order/standard_error": want.Movers.Shares[0].First.Error,
	} {
		if got := statOf(doc, place); got != value || value == "" {
			t.Errorf("%s: the page has %q, the service %q", place, got, value)
		}
	}
	says(t, "the page", body, "8 of 10</span> batches it stays at or below", `href="/book/parts/HS-010/edit"`, "What followed each draw", want.Movers.Tornado[0].Input.Of)
}

// TestSpreadProblems looks that each problem leads to its field, and that nothing
// typed is lost.
func TestSpreadProblems(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	const cutting, other = "offer%2FCU-60X20%2FORVENDA%2Fbreak%2F1%2Fprice", "exchange%2Fselling%2FUSD-EUR"
	b.refuses("/spread?", map[string][]string{
		"draws=0":                       {`href="#f-draws"`, "show nothing", `value="0"`},
		"draws=1000000000":              {`href="#f-draws"`, `value="1000000000"`},
		"draws=99999999999999999999999": {`href="#f-draws"`},
		"draws=many":                    {`href="#f-draws"`, "whole number", `value="many"`},
		"seed=-1":                       {`href="#f-seed"`, `value="-1"`},
		"pieces=2.5":                    {`href="#f-pieces"`, `value="2.5"`},
		"pieces=100-200":                {`href="#f-pieces"`, "batch curve"},
		"channel=direct&price=0":        {`href="#f-price"`, "not more than 0"},
		"chance=120":                    {`href="#f-chance"`, `value="120"`, "120 % is no chance; give one between 0 and 100, such as 80"},
		"chance=0.8":                    {`href="#f-chance"`, "0.8 % - did you mean 80?"},
		"price=250":                     {`href="#f-channel"`, "choose the one that the price is asked in"},
		"precision=0.1&quantile=0.8":    {`href="#f-quantile"`, "did you mean 80?"},
		"price=1,234":                   {`href="#f-price"`, `value="1,234"`},
		"channel=nowhere&price=100":     {`href="#f-channel"`, "nowhere"},
		"precision=-1":                  {`href="#f-precision"`, `value="-1"`},
		"precision=0.1&quantile=100":    {`href="#f-quantile"`},
		"pair1.a=" + cutting:            {`href="#f-pair1-b"`},
		"pair2.a=" + cutting + "&pair2.b=" + other + "&pair2.rank=2":     {`href="#f-pair2-rank"`, `value="2"`},
		"pair1.a=" + cutting + "&pair1.b=" + cutting + "&pair1.rank=0.5": {`href="#f-pair1-`},
		"pair1.a=nothing&pair1.b=" + cutting + "&pair1.rank=0.5":         {`href="#f-pair1-a"`, "nothing"},
		"figure=no%2Fsuch": {`href="#f-figure"`},
		"trim=nobody":      {`href="#f-trim"`, "nobody"},
		"c.mount=ceiling":  {`href="#f-c-mount"`, "ceiling"},
		"day=tomorrow":     {`href="#f-day"`, `value="tomorrow"`},
	})
	if body := b.page("/spread?trim=plain&c.light=tunable"); !strings.Contains(body, "the colour sensor sits in the aluminium shade") {
		t.Error("a broken rule is not told")
	}
}

// sureBook holds a product whose numbers are all certain.
const sureBook = `kerfbook: 1
name: small
country: "PT"
currency: EUR
rate_cards: [{id: card, from: 2026-01-01}]
suppliers: [{id: S, name: supplier S}]
parts: [{number: A, name: part A, revision: "1", kind: bought}]
offers: [{for: A, supplier: S, currency: EUR, unit: piece, breaks: [{from: 1, price: 2.50}]}]
products:
  - number: X
    name: thing
    positions: [{number: 10, part: A, quantity: 2}]
    trims: [{id: only, name: Only}]
`

// TestSpreadWithoutRanges explains how to write a range.
func TestSpreadWithoutRanges(t *testing.T) {
	t.Parallel()
	body := shopWith(t, []byte(sureBook)).signIn(t).page("/spread?trim=only")
	checkPage(t, "/spread", body)
	says(t, "the page", body, "No number of this batch is a range", "{low: 4, likely: 5, high: 7}", `href="/book/parts"`)
}

// impatientShop serves the demo book with pages that hardly wait.
func impatientShop(t testing.TB) *shop {
	t.Helper()
	s := demoShop(t)
	e := must(edge.New(edge.Config{Now: func() time.Time { return today }}, s.svc, slog.New(slog.DiscardHandler)))(t)
	pages := must(frame.NewSite(e, s.svc))(t)
	pages.Patience = 20 * time.Millisecond
	srv := httptest.NewServer(pages.Handler(web.Rooms()...))
	t.Cleanup(srv.Close)
	t.Cleanup(s.svc.Close)
	return &shop{Server: srv, svc: s.svc, log: s.log}
}

// longDraws take far longer than an impatient page waits.
const longDraws = "/spread?trim=plain&pieces=100&draws=2000000&seed="

func TestProgressAndCancel(t *testing.T) {
	t.Parallel()
	s := impatientShop(t)
	b := s.signIn(t)
	r, err := b.Get(s.URL + longDraws + "1")
	code, body := b.read(r, err)
	checkPage(t, "progress", body)
	if code != http.StatusOK || r.Header.Get("Refresh") != "1" || !strings.Contains(body, "<progress") {
		t.Fatalf("%d, refresh %q\n%s", code, r.Header.Get("Refresh"), body)
	}
	form := url.Values{}
	for _, m := range hiddenField.FindAllStringSubmatch(body, -1) {
		form.Set(m[1], unescaped(m[2]))
	}
	run := must(s.svc.SpreadRun(t.Context(), form.Get("run")))(t)
	for range 2 { // once more does no harm
		code, body = b.post("/spread/cancel", form)
		checkPage(t, "cancelled", body)
		if code != http.StatusOK || !strings.Contains(body, "The draws were cancelled") || !strings.Contains(body, `value="2000000"`) {
			t.Errorf("%d\n%s", code, body)
		}
	}
	if p := run.Progress(); p.State != runs.Cancelled {
		t.Errorf("the run is %s", p.State)
	}
	if _, err := s.svc.SpreadRun(t.Context(), form.Get("run")); answer.CodeOf(err) != answer.NotFound {
		t.Errorf("the run is still kept: %v", err)
	}
}

// TestProgressEndsInTheAnswer asks again as a browser does, until it is there.
func TestProgressEndsInTheAnswer(t *testing.T) {
	t.Parallel()
	s := impatientShop(t)
	b := s.signIn(t)
	seen := 0
	for {
		r, err := b.Get(s.URL + "/spread?trim=plain&pieces=100&draws=100000&seed=3")
		_, body := b.read(r, err)
		if r.Header.Get("Refresh") == "" {
			if !strings.Contains(body, "at likely values") {
				t.Errorf("after %d pages of progress:\n%s", seen, body)
			}
			return
		}
		if seen++; seen > 10_000 {
			t.Fatal("it never ends")
		}
	}
}

// TestTooManyRuns says that others draw, and loses nothing.
func TestTooManyRuns(t *testing.T) {
	t.Parallel()
	s := impatientShop(t)
	b := s.signIn(t)
	for seed := range 8 {
		b.page(longDraws + fmt.Sprint(seed+10))
	}
	code, body := b.get(longDraws + "99")
	checkPage(t, "busy", body)
	if code != http.StatusServiceUnavailable || !strings.Contains(body, "runs are under way") {
		t.Errorf("%d\n%s", code, body)
	}
}

// TestSpreadChoicesAreWhatIsDrawn looks that what the form offers before a draw is
// what the answer has after it.
func TestSpreadChoicesAreWhatIsDrawn(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	c := s.callAt(t, "/spread?mix=plain%3D100%2Ctune%3D50&as=one")
	batch := change.Batch{Mix: c.View.Lines, Day: c.View.Day}
	choices := must(s.svc.SpreadChoices(t.Context(), batch))(t)
	run := must(s.svc.Spread(t.Context(), study.SpreadRequest{Batch: batch, Draws: 1, Seed: 1}))(t)
	result, _, err := run.Wait(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	figures, inputs := map[string]bool{}, map[string]bool{}
	for _, f := range result.Figures {
		figures[f.Figure.Key] = true
	}
	for _, in := range result.Inputs {
		inputs[in.Input.Key] = true
	}
	if len(choices.Figures) != len(figures) || len(choices.Ranges) != len(inputs) || len(inputs) == 0 {
		t.Errorf("offered %d figures and %d ranges, drawn %d and %d", len(choices.Figures), len(choices.Ranges), len(figures), len(inputs))
	}
	for _, f := range choices.Figures {
		if !figures[f.Key] {
			t.Errorf("%s is not drawn", f.Key)
		}
	}
	for _, in := range choices.Ranges {
		if !inputs[in.Key] {
			t.Errorf("%s does not vary", in.Key)
		}
	}
}
