package compare

import (
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/papers/quote"
)

const glowCost = "variant/glow/each/full"

// TestTwoQuantities: everything has the same structure, and the quantity is the
// one input that changed, so that it accounts for all.
func TestTwoQuantities(t *testing.T) {
	t.Parallel()
	side := sideOf(estimateOf(t, demo(t), "glow"), glowCost)
	r := compared(t, side, side.at(t, "mix/glow", "250"), everyday)
	if !r.Alike || len(r.Shares) != 1 || r.Shares[0].After.Key != "mix/glow" || !r.Shares[0].Amount.Equal(r.Difference) {
		t.Errorf("shares %+v", r.Shares)
	}
	if r.Difference.Sign() >= 0 {
		t.Errorf("a larger batch costs %s more", r.Difference)
	}
	for _, l := range r.Lines {
		if !l.Alike || l.Change == Appears || l.Change == Vanishes {
			t.Errorf("%s %s", l.Name.Key, l.Change)
		}
	}
}

// TestTwoTrims: parts of one trim vanish, those of the other appear, kinds of cost
// and the product itself stand for one another.
func TestTwoTrims(t *testing.T) {
	t.Parallel()
	b := demo(t)
	before, after := estimateOf(t, b, "plain"), estimateOf(t, b, "glow")
	r := compared(t, sideOf(before, "variant/plain/each/full"), sideOf(after, glowCost), everyday)
	changes := map[string]Change{}
	for _, s := range r.ByThing() {
		changes[s.Key] = s.Change
	}
	for key, want := range map[string]Change{
		"part/SH-POM": Vanishes, "part/SH-ACR": Appears, "part/HS-010": Changes, "part/ARM-D": Stays, "variant/glow": Changes,
		"product/LAMP": Stays,
	} {
		if got, ok := changes[key]; !ok || got != want {
			t.Errorf("%s %s (%t), want %s", key, got, ok, want)
		}
	}
	is, was := graphtest.Evaluated(t, after.Graph), graphtest.Evaluated(t, before.Graph)
	kinds := map[string]decimal.Decimal{}
	for _, s := range r.ByKind() {
		kinds[s.Key] = s.Amount
	}
	value := func(e *exact.Values, id graph.ID) (v decimal.Decimal) {
		if id != graph.None {
			v, _ = e.Raw(id)
		}
		return v
	}
	for i, id := range after.Variants[0].Kinds {
		if id == graph.None || slices.Contains(estimate.SpecialCosts.Kinds(), estimate.Kind(i)) { // those have a line for each name
			continue
		}
		key := after.Graph.Node(id).Key
		now, then := value(is, id), value(was, before.Variants[0].Kinds[i])
		want := now.Sub(then)
		if got, ok := kinds[key]; !ok || got.Sub(want).Abs().GreaterThan(dec("1e-28")) {
			t.Errorf("kind %s comes to %s (%t), want %s", key, got, ok, want)
		}
	}
	for _, key := range []string{"administration", "selling"} {
		if _, ok := kinds["variant/glow/each/"+key]; !ok {
			t.Errorf("%s is no line of its own", key)
		}
	}
	if r.Alike || len(changes) != 20 {
		t.Errorf("alike %t, %d things", r.Alike, len(changes))
	}
}

// TestTwoTrimsWithAnotherPrice: what has the same structure in both trims is
// shared out over the inputs that changed, the rest stays with its lines.
func TestTwoTrimsWithAnotherPrice(t *testing.T) {
	t.Parallel()
	before, after := estimateOf(t, demo(t), "plain"), estimateOf(t, demo(t,
		"machine_rate_per_h: 2.20, labour_rate_per_h: 19.50", "machine_rate_per_h: 2.20, labour_rate_per_h: 21.00",
		"price: 9.80}, {from: 250", "price: 9.95}, {from: 250"), "glow")
	r := compared(t, sideOf(before, "variant/plain/each/full"), sideOf(after, glowCost), everyday)
	got := amounts(r)
	if labour := got["work-centre/BENCH/labour-rate"]; labour.Sign() <= 0 {
		t.Errorf("a dearer bench accounts for %s; shares of %v", labour, got)
	}
	if r.Method.Rule != Shapley || r.Method.Inputs != 2 {
		t.Errorf("method %+v", r.Method)
	}
}

// TestOneMix: the parts of a mix are pooled, so they cost the same in both trims.
func TestOneMix(t *testing.T) {
	t.Parallel()
	est := estimateOf(t, demo(t), "plain", "glow")
	r := compared(t, sideOf(est, "variant/plain/each/full"), sideOf(est, glowCost), everyday)
	for _, s := range r.ByThing() {
		if s.Key == "part/DR-15" && s.Change != Stays {
			t.Errorf("a part that both use %s", s.Change)
		}
	}
	for _, l := range r.Lines {
		if l.Thing.Key == "part/ARM-D" && !l.Alike {
			t.Errorf("%s has another structure within one mix", l.Name.Key)
		}
	}
}

// changedBook is the demo book some time later.
var changedBook = []string{
	"replacement: 168000", "replacement: 189000",
	"machine_rate_per_h: 9.50, labour_rate_per_h: 21.00", "machine_rate_per_h: 10.00, labour_rate_per_h: 22.00",
	"machine_rate_per_h: 2.20, labour_rate_per_h: 19.50", "machine_rate_per_h: 2.40, labour_rate_per_h: 20.80",
	"rate: {low: 0.83, likely: 0.86, high: 0.90", "rate: {low: 0.88, likely: 0.91, high: 0.95",
	"administration: 0.07", "administration: 0.065", "reclaim_per_kg: 5.10", "reclaim_per_kg: 6.40",
	"{from: 50, price: 9.80}", "{from: 50, price: 10.10}", "price_per_dm2: 0.85", "price_per_dm2: 0.93",
	"{from: 250, price: 8.60}", "{from: 250, price: 8.85}",
}

func quoted(t testing.TB, replaced ...string) Side {
	t.Helper()
	doc, err := quote.Build(demo(t, replaced...), quote.Request{
		Lines:       []quote.RequestLine{{Trim: "glow", Quantity: "50", Batch: "250"}, {Trim: "tune", Quantity: "37"}},
		Destination: "PT", Customer: quote.Party{Name: "Beispielhandel GmbH", Address: []string{"Am Beispielplatz 1"}, Contact: "A. Beispiel"},
		ValidDays: 30, Delivery: quote.Delivery{Term: "DAP", Place: "Porto"}, ConfirmUnverified: true,
	}, demoDay)
	if err != nil {
		t.Fatal(err)
	}
	g, _, err := doc.Computed()
	if err != nil {
		t.Fatal(err)
	}
	return Side{Graph: g, Headline: glowCost}
}

// TestQuoteAndToday compares a stored quote with one of today, by the rule for
// many inputs and by that for few, which must tell much the same.
func TestQuoteAndToday(t *testing.T) {
	t.Parallel()
	was, is := quoted(t), quoted(t, changedBook...)
	many := compared(t, was, is, everyday)
	fewer := compared(t, was, is, few(12))
	if !many.Alike || many.Method.Rule != AumannShapley || fewer.Method.Rule != Shapley || !many.Method.Settled {
		t.Fatalf("alike %t; %+v; %+v", many.Alike, many.Method, fewer.Method)
	}
	for key, a := range amounts(many) {
		if b := amounts(fewer)[key]; a.Sub(b).Abs().GreaterThan(many.Difference.Abs().Mul(dec("0.02"))) {
			t.Errorf("%s has %s by one rule, %s by the other", key, a, b)
		}
	}
	if got := amounts(many)["rate-card/administration"]; got.Sign() >= 0 {
		t.Errorf("a lower percentage for administration accounts for %s", got)
	}
	for _, s := range many.Shares {
		if s.Before.Label == "" || s.Before.Value.Equal(s.After.Value) {
			t.Errorf("share without words: %+v", s)
		}
	}
	total := compared(t, Side{Graph: was.Graph, Headline: "quote/total"}, Side{Graph: is.Graph, Headline: "quote/total"}, everyday)
	if !total.Alike {
		t.Error("the totals of the two quotes have another structure")
	}
}
