package answer

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/shape"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/costing/trade"
)

// resting is the demo with its prices on some costs, in the order of the book.
func resting(t testing.TB, on ...trade.CostBasis) Origin {
	t.Helper()
	b := booktest.Demo(t)
	for i, basis := range on {
		b.Prices[i].RestsOn = basis
	}
	return Of(b)
}

// TestWhatTheDrawsAdd recounts the addition from draws of its own: plain random numbers,
// not those of the shop's seed, through the columns of the cost. What is chosen at the
// likely values is held, as it is before a batch is made.
func TestWhatTheDrawsAdd(t *testing.T) {
	t.Parallel()
	o := resting(t, trade.Average, trade.NotExceeded("80"))
	e, err := o.Evaluate(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(100), "glow"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	g := e.Estimate.Graph
	for _, p := range e.Estimate.Variants[0].Prices {
		of, _ := g.Find(g.Node(p.Added).Decision.Drawn.Of)
		all := ownDraws(t, e, of)
		slices.Sort(all)
		want := all[len(all)*4/5]
		if p.Channel == "direct" {
			sum := 0.0
			for _, v := range all {
				sum += v
			}
			want = sum / float64(len(all))
		}
		likely, _ := e.Values.Raw(of)
		added, ok := e.Values.Raw(p.Added)
		failure, _ := g.Find(g.Node(p.Added).Decision.Drawn.Error)
		known, _ := e.Values.Raw(failure)
		if !ok || !added.IsPositive() || !known.IsPositive() || known.InexactFloat64() > 0.05 {
			t.Fatalf("%s: the draws add %s ± %s", p.Channel, added, known)
		}
		// Own draws are no Latin hypercube: of 40,960 with a deviation below 2 the mean is known to 0.01.
		if off := math.Abs(added.InexactFloat64() - (want - likely.InexactFloat64())); off > 0.05 {
			t.Errorf("%s: the draws add %s ± %s, recounted %v", p.Channel, added, known, want-likely.InexactFloat64())
		}
		exceeded := 0
		for _, v := range all {
			if v > likely.InexactFloat64() {
				exceeded++
			}
		}
		t.Logf("%s: %s ± %s; the likely cost is exceeded in %d of 100 draws", p.Channel, added, known, exceeded*100/len(all))
	}
}

// ownDraws draws the ranges behind a figure with random numbers of this test.
func ownDraws(t *testing.T, e *Evaluation, of graph.ID) []float64 {
	t.Helper()
	g := e.Estimate.Graph
	o := column.Options{Outputs: []graph.ID{of}, Hold: map[graph.ID]float64{}}
	var samplers []*shape.Sampler
	for id := range graph.ID(g.Len()) {
		switch n := g.Node(id); {
		case n.Op == graph.Range && n.Low.LessThan(n.High):
			o.Vary, samplers = append(o.Vary, id), append(samplers, shape.Of(n).Sampler())
		case n.Op == graph.Decided || n.Op == graph.Least || n.Kind == graph.Input:
			if v, ok := e.Values.Raw(id); ok {
				o.Hold[id] = v.InexactFloat64()
			}
		}
	}
	for _, id := range o.Vary {
		delete(o.Hold, id)
	}
	plan, err := column.New(g, o)
	if err != nil {
		t.Fatal(err)
	}
	c, r := plan.Columns(), rand.New(rand.NewPCG(11, 12))
	var out []float64
	for range 40 {
		for i, s := range samplers {
			u := c.In(i)
			for k := range u {
				u[k] = r.Float64()
			}
			s.Fill(u, u)
		}
		if err := c.Run(column.Block); err != nil {
			t.Fatal(err)
		}
		out = append(out, c.Out(0)...)
	}
	return out
}

// TestDrawnIsOneNumber: the same batch of the same book gets the same addition, from an
// empty memory too, another seed another, and a price on the likely cost draws nothing.
func TestDrawnIsOneNumber(t *testing.T) {
	t.Parallel()
	added := func(o Origin, quantity int64) decimal.Decimal {
		e, err := o.Evaluate(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(quantity), "plain"), "2026-11-25")
		if err != nil {
			t.Fatal(err)
		}
		v, _ := e.Values.Raw(e.Estimate.Variants[0].Prices[0].Added)
		return v
	}
	o := resting(t, trade.Average)
	first := added(o, 100)
	if other := added(o, 250); other.Equal(first) {
		t.Error("the draws add the same in another batch")
	}
	if again := added(resting(t, trade.Average), 100); !again.Equal(first) {
		t.Errorf("the draws add %s, and %s once more", first, again)
	}
	o = resting(t, trade.Average)
	o.Book.PriceSeed = 2
	if other := added(o, 100); other.Equal(first) || other.Sub(first).Abs().GreaterThan(decimal.New(5, -2)) {
		t.Errorf("with another seed the draws add %s, before %s", other, first)
	}
	e, err := resting(t, trade.Likely).Evaluate(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(100), "plain"), "2026-11-25")
	if err != nil || len(e.Estimate.Graph.Drawn()) != 0 {
		t.Errorf("a price on the likely cost: %v", err)
	}
	plain, err := Of(booktest.Demo(t)).Evaluate(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(100), "plain"), "2026-11-25")
	if err != nil || plain.Estimate.Graph.Len() != e.Estimate.Graph.Len() {
		t.Error("a price that says likely has another graph than one that says nothing")
	}
}

// TestWorkbookSaysDrawAgain edits the cost workbook in a spreadsheet: an input that what
// the draws add rests on fails the check of it, and one of the price alone does not; the addition stays
// as it was drawn.
func TestWorkbookSaysDrawAgain(t *testing.T) {
	t.Parallel()
	o := resting(t, trade.Average)
	file, err := o.CostWorkbook(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(100), "plain"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	const added, price = "_variant_plain_price_direct_draws_add", "_variant_plain_price_direct_shelf_price"
	get := []string{workbook.EveryCheck, added, price, added + "__drawn"}
	const wage, margin = "_work_centre_BENCH_labour_rate", "_price_LAMP___direct_margin_wanted"
	got := recalctest.Live(t, file, []recalctest.Step{
		{Get: get}, {Set: map[string]string{margin: "0.4"}, Get: get}, {Set: map[string]string{wage: "40"}, Get: get}, {Set: map[string]string{wage: "19.5"}, Get: get}})
	for i, want := range []string{"1", "1", "0", "1"} {
		if got[i][added+"__drawn"] != want || got[i][workbook.EveryCheck] != want || got[i][added] != got[0][added] {
			t.Errorf("step %d: %v", i, got[i])
		}
	}
	if got[1][price] == got[0][price] || got[2][price] == got[1][price] {
		t.Errorf("the price does not follow: %v", got)
	}
	cells, err := recalctest.Inspect(file)
	if err != nil || !cells[added].Locked || cells[wage].Locked {
		t.Errorf("locked is %v, %v", cells[added], err)
	}
}

// TestADrawnPriceIsWithheld: behind a cost that lacks something a price is withheld by
// name, and so is what the draws add; the cost is at least what it shows.
func TestADrawnPriceIsWithheld(t *testing.T) {
	t.Parallel()
	o := resting(t, trade.Average)
	for i := range o.Book.WorkCentres {
		if o.Book.WorkCentres[i].ID == "BENCH" {
			o.Book.WorkCentres[i].LabourRatePerH = &bom.Number{Missing: true}
		}
	}
	e, err := o.Evaluate(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(100), "plain"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	v := e.Figures().Variants[0]
	if v.Full.AtLeast == "" || v.Full.Value != "" {
		t.Errorf("the full cost is %+v", v.Full)
	}
	for _, f := range []Figure{v.Channels[0].Shelf, v.Channels[0].Margin, v.Channels[0].DrawsAdd, v.Channels[0].RestsOnCost} {
		if f.Key == "" || f.Value != "" || f.AtLeast != "" || len(f.Without) != 1 || !slices.Equal(f.Without, v.Full.Without) {
			t.Errorf("%s is %+v, want withheld", f.Label, f)
		}
	}
}
