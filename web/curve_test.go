package web

import (
	"strconv"
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
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
	for _, words := range []string{first.Breaks[0].Causes[0].Words, "changes at", "is cheaper"} {
		if !strings.Contains(body, words) {
			t.Errorf("the page lacks %s", words)
		}
	}
}

// TestCurveEnds looks that the line before a break ends empty, where the curve
// would be without the step, and the one after begins filled.
func TestCurveEnds(t *testing.T) {
	t.Parallel()
	c := study.BatchCurve{Trim: "plain", Figure: answer.Figure{Key: "variant/plain/each/full"},
		Runs:   []study.CurveRun{{From: 1, To: 3}, {From: 4, To: 5}, {From: 6, To: 7, Counted: true}},
		Points: []study.CurveAt{{Quantity: 1, Value: "12"}, {Quantity: 2, Value: "11"}, {Quantity: 3, Value: "10"}, {Quantity: 4, Value: "14"}, {Quantity: 5, Value: "13"}, {Quantity: 6, Value: "9"}, {Quantity: 7, Value: "8"}},
		Breaks: []study.CurveBreak{{UpTo: 3, From: 4, Before: "10", After: "14", Effect: "18"}}}
	runs := (&curveLayout{}).runs(c)
	if len(runs) != 4 {
		t.Fatalf("%d runs: %+v", len(runs), runs)
	}
	if end := runs[0].Points[3]; !runs[0].OpenEnd || end.X != 4 || end.Y != 9.5 {
		t.Errorf("the first run ends with %+v, open %v; want an open end at 4 and 14 − 18 ÷ 4", end, runs[0].OpenEnd)
	}
	if runs[1].OpenStart || runs[1].Points[0].X != 4 || runs[1].Points[0].Y != 14 || runs[1].OpenEnd {
		t.Errorf("the second run is %+v", runs[1])
	}
	if len(runs[2].Points) != 1 || len(runs[3].Points) != 1 {
		t.Error("points that are counted piece by piece are joined")
	}
	c.Figure.Key = "variant/plain/each/production"
	if runs := (&curveLayout{}).runs(c); runs[0].OpenEnd {
		t.Error("an effect on the full cost is drawn on another figure")
	}
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
	c := s.callAt(t, path)
	found := c.Faults
	result, _, err := s.svc.Curve(t.Context(), askCurve(c, &found).req)
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
