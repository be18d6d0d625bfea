package workbook_test

import (
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/workbook"
)

func number(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func build(t testing.TB, g *graph.Graph, values workbook.Values) *workbook.Model {
	t.Helper()
	m, err := workbook.Build(g, values)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func finish(t testing.TB, b *graph.Builder) *graph.Graph {
	t.Helper()
	g := graphtest.Built(t, b)
	return g
}

// graphs are the table of cases and some random ones.
func graphs(t testing.TB) []*graph.Graph {
	t.Helper()
	var out []*graph.Graph
	for _, c := range graphtest.Cases() {
		if c.Precise {
			continue
		}
		g, _, err := c.Graph()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, g)
	}
	for seed := range uint64(20) {
		out = append(out, graphtest.Random(100+seed, 300))
	}
	return out
}

func TestEveryFormulaKeepsTheRules(t *testing.T) {
	t.Parallel()
	for i, g := range graphs(t) {
		m := build(t, g, nil)
		for _, s := range m.Sheets {
			for _, r := range s.Rows {
				checkRow(t, fmt.Sprintf("graph %d, sheet %s, %s", i, s.Name, r.Label), g, r)
			}
		}
	}
}

// checkRow wants a formula of every cell but inputs, decisions and fixed
// numbers, and a number in those.
func checkRow(t *testing.T, where string, g *graph.Graph, r workbook.Row) {
	t.Helper()
	if r.Heading {
		return
	}
	held := r.Kind == graph.Input || r.Kind == graph.Decision || r.Kind == graph.Fixed
	if r.Kind == graph.Decision && g.Node(r.ID).Decision.Drawn != nil && !r.Known {
		held = false // it is drawn, and has not been: #N/A
	}
	switch {
	case held && (r.Formula != "" || !r.Known):
		t.Errorf("%s: formula %q in a cell that holds a number", where, r.Formula)
	case !held:
		if err := graphtest.CheckFormula(r.Formula); err != nil {
			t.Errorf("%s: %v", where, err)
		}
	}
	if r.ID != graph.None && g.Node(r.ID).Key != r.Key {
		t.Errorf("%s: key %s, want %s", where, r.Key, g.Node(r.ID).Key)
	}
}

var validName = regexp.MustCompile(`^_[A-Za-z0-9_]{1,199}$`)

func TestNamesAreValidUniqueAndDefined(t *testing.T) {
	t.Parallel()
	for _, g := range graphs(t) {
		m := build(t, g, nil)
		defined := map[string]bool{}
		define := func(name string) {
			if !validName.MatchString(name) || defined[strings.ToLower(name)] {
				t.Errorf("name %q is not valid or not unique", name)
			}
			defined[strings.ToLower(name)] = true
		}
		var formulas []string
		for _, s := range m.Sheets {
			for _, r := range s.Rows {
				formulas = append(formulas, r.Formula)
				if r.Name != "" {
					define(r.Name)
				}
				for _, b := range []*workbook.Bound{r.Low, r.High} {
					if b != nil && b.Name != "" {
						define(b.Name)
					}
				}
			}
		}
		for _, b := range m.Blocks {
			define(b.Name)
		}
		for _, f := range formulas {
			for _, name := range regexp.MustCompile(`_\w+`).FindAllString(f, -1) {
				if !defined[strings.ToLower(name)] {
					t.Errorf("formula %s: name %s is not defined", f, name)
				}
			}
		}
	}
}

func TestKeysThatLookAlikeKeepApart(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	long := strings.Repeat("x", 195)
	for _, key := range []string{"p/a-b", "p/a.b", "p/A_B", "p/a_b_2", long + "/1", long + "/2"} {
		s.Input(key, key, graph.Plain, number("1"))
	}
	m := build(t, finish(t, b), nil)
	var got []string
	for _, sheet := range m.Sheets {
		for _, r := range sheet.Rows {
			if !r.Heading && r.Name != "" {
				got = append(got, r.Name)
			}
		}
	}
	want := []string{"_p_a_b", "_p_a_b_2", "_p_A_B_3", "_p_a_b_2_2", "_" + long + "_1", "_" + long + "_2"}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("names\n%q, want\n%q", got, want)
	}
}

func TestSheetsStandInOrder(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	a := s.Input("part/A/width", "width", graph.Mm, number("3"))
	s.Input("mix/quantity", "quantity", graph.Piece, number("4"))
	s.Input("part/B/width", "width", graph.Mm, number("5"))
	s.Multiply("part/area", "area", a, a)
	s.Check("part/A/fits", "fits", a, graph.Less, s.Fixed("ten", "ten", graph.Mm, number("10"), "definition"))
	s.Least("checks/least", "least", a, a) // a group that has the name of a sheet
	s.Input("alone", "alone", graph.Plain, number("1"))
	m := build(t, finish(t, b), nil)

	var got []string
	for _, sheet := range m.Sheets {
		line := sheet.Name + ":"
		for _, r := range sheet.Rows {
			if r.Heading {
				line += " [" + r.Label + "]"
			} else {
				line += " " + r.Label
			}
		}
		got = append(got, line)
	}
	want := []string{
		"inputs: [part] width width [mix] quantity [alone] alone",
		"part: area",
		"checks 2: least",
		"checks: every check holds fits",
		"fixed: ten",
		"lists: [least: compared] compared 1 compared 2",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("sheets\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestHelpersStandLast: below a heading stand costs, quantities, then what only helps
// them, in level 2: numbers without unit but for those of the first page, and what
// belongs to the candidates that were not chosen.
func TestHelpersStandLast(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s, euro := b.Root(), graph.Currency("EUR")
	two, pieces := s.Input("in/two", "two", graph.Plain, number("2")), s.Input("in/pieces", "pieces", graph.Piece, number("10"))
	cheap, dear := s.Input("in/cheap", "cheap", euro, number("3")), s.Input("in/dear", "dear", euro, number("5"))
	factor := s.Multiply("part/A/factor", "factor", two, two)
	share := s.Multiply("part/A/share", "share", two, two)
	more := s.Multiply("part/A/more", "more pieces", pieces, factor)
	first, second := s.Multiply("part/A/first", "first offer", cheap, two), s.Multiply("part/A/second", "second offer", dear, two)
	best := s.Least("part/A/best", "best offer", second, first)
	price := s.At("part/A/price", "price", best, second, first)
	s.Divide("part/A/each", "cost of one", price, more)
	g := finish(t, b)
	for _, c := range []struct {
		what   string
		values workbook.Values
		shown  []graph.ID
		want   string
	}{
		{"as it stands", graphtest.Evaluated(t, g), []graph.ID{share},
			"[A]0 share1 first offer1 price1 cost of one1 more pieces1 factor2 second offer2 best offer2"},
		{"without values", nil, nil, "[A]0 first offer1 second offer1 price1 cost of one1 more pieces1 factor2 share2 best offer2"},
	} {
		m, err := workbook.Build(g, c.values, c.shown...)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, r := range m.Sheets[1].Rows {
			if r.Heading {
				r.Label = "[" + r.Label + "]"
			}
			got = append(got, r.Label+strconv.Itoa(int(r.Level)))
		}
		if text := strings.Join(got, " "); text != c.want {
			t.Errorf("%s:\n%s, want\n%s", c.what, text, c.want)
		}
	}
}

// TestDrawnIsChecked: a figure that was drawn is held, and one check says whether every
// input it rests on, and no other, is what it was drawn with.
func TestDrawnIsChecked(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s, euro := b.Root(), graph.Currency("EUR")
	minutes, rate := s.Range("in/minutes", "run time", graph.Minute, number("1"), number("2"), number("4")), s.Input("in/rate", "rate", euro.Per(graph.Minute), number("0.5"))
	s.Input("in/other", "other", graph.Plain, number("3"))
	cost := s.Multiply("part/A/cost", "cost", minutes, rate)
	added := s.Drawn("part/A/added", "what the draws add", cost, graph.Draws{Count: 4096, Seed: 1}, "the average of 4,096 draws")
	s.Add("part/A/rests", "cost it rests on", cost, added)
	g := finish(t, b)
	failure, _ := g.Find(g.Node(added).Decision.Drawn.Error)
	values, err := exact.Evaluate(g, exact.Pins{added: number("0.17"), failure: number("0.001"), minutes: number("3")})
	if err != nil {
		t.Fatal(err)
	}
	m := build(t, g, values)
	if r := m.Row(added); r.Kind != graph.Decision || r.Formula != "" || r.Value.String() != "0.17" {
		t.Errorf("the cell of what was drawn: %+v", r)
	}
	checks := m.Checks().Rows
	last := checks[len(checks)-1]
	want := "MIN(1,IF(ROUND(_in_minutes,9)=ROUND(_in_minutes__drawn_with,9),1,0),IF(ROUND(_in_rate,9)=ROUND(_in_rate__drawn_with,9),1,0))"
	if last.Formula != want || !last.Known || last.Value.String() != "1" || !strings.HasPrefix(last.Label, "draw again") {
		t.Errorf("the check is %+v", last)
	}
	var was []string
	for _, sheet := range m.Sheets {
		for _, r := range sheet.Rows {
			if strings.HasSuffix(r.Name, "__drawn_with") {
				was = append(was, r.Value.String())
			}
		}
	}
	if !reflect.DeepEqual(was, []string{"3", "0.5"}) {
		t.Errorf("it was drawn with %v", was)
	}
}

func TestSheetsAreBounded(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	for i := range 200 {
		b.Root().Input("group"+strconv.Itoa(i)+"/x", "x", graph.Plain, number("1"))
	}
	if m := build(t, finish(t, b), nil); len(m.Sheets) > 45 {
		t.Errorf("%d sheets", len(m.Sheets))
	}
}

func TestRowsSayWhereNumbersComeFrom(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().From(graph.Source{Where: "rate card 2026-09", Cite: "from memory", Unverified: true, CheckedOn: "2026-08-30"}).By("S1")
	x := s.Range("a/x", "run time", graph.Minute, number("1"), number("2"), number("4"))
	s.Decided("a/d", "process", graph.Plain, number("2"), graph.Choice{Solver: "tools", Rule: "cheapest",
		Options: []string{"laser", "saw"}, Valid: []graph.Window{{Input: x, Low: number("1"), High: number("3")}}})
	s.Add("a/y", "twice", x, x)
	s.Estimate("a/z", "price", graph.Plain, bom.Number{Low: number("1"), Likely: number("2"), High: number("4"), IsRange: true, Shape: bom.Normal, SD: number("0.5")})
	g := finish(t, b)
	values := graphtest.Evaluated(t, g)
	m := build(t, g, values)
	row := func(key string) *workbook.Row {
		id, _ := g.Find(key)
		return m.Row(id)
	}
	if h := m.Sheets[0].Rows; h[0].Label != "a" || h[1].Label != "rate card 2026-09" || h[2].Key != "a/x" {
		t.Errorf("inputs begin with %q, %q, %q", h[0].Label, h[1].Label, h[2].Key)
	}
	const marked = "from memory; NOT VERIFIED, looked at 2026-08-30"
	if r := row("a/x"); r.Source != marked || r.Low.Value.String() != "1" || r.High.Value.String() != "4" || r.Value.String() != "2" || r.Unit != "min" || r.FormulaID != "estimated, triangular" {
		t.Errorf("range: %+v", r)
	}
	if r := row("a/d"); r.FormulaID != "decided, tools: cheapest" || r.Source != "rate card 2026-09; "+marked+"; 1 laser, 2 saw" {
		t.Errorf("decision: %q, %q", r.FormulaID, r.Source)
	}
	if r := row("a/z"); r.FormulaID != "estimated, normal, deviation 0.5" {
		t.Errorf("normal range: %+v", r)
	}
	if r := row("a/y"); r.FormulaID != "S1" || !r.Known || r.Value.String() != "4" || r.Formula != "_a_x+_a_x" {
		t.Errorf("sum: %+v", r)
	}
}

// TestRowOfANode: each node has its row, and no ID beyond them has one.
func TestRowOfANode(t *testing.T) {
	t.Parallel()
	for _, g := range graphs(t) {
		m := build(t, g, nil)
		for id := range graph.ID(g.Len()) {
			if r := m.Row(id); r == nil || r.ID != id || r.Key != g.Node(id).Key {
				t.Fatalf("%s has the row %+v", g.Node(id).Key, r)
			}
		}
		if m.Row(graph.None) != nil || m.Row(graph.ID(g.Len())) != nil {
			t.Error("there is a row of no node")
		}
	}
}

func BenchmarkBuild(b *testing.B) {
	g := graphtest.Random(1, 5000)
	for b.Loop() {
		build(b, g, nil)
	}
}
