package simulate

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// TestSameOnAnyNumberOfCores wants every statistic equal to the last bit.
func TestSameOnAnyNumberOfCores(t *testing.T) {
	e := glow(t)
	full := e.Variants[0].Full
	inputs := run(t, e.Graph, Request{Outputs: ids(full), Draws: 1}).Inputs
	r := Request{Outputs: ids(full, e.Variants[0].Production), Draws: 10_000, Seed: 7,
		Correlations: []Correlation{{A: inputs[0], B: inputs[1], Rank: 0.6}}}
	stops := r
	stops.Draws, stops.Precision = 500_000, &Precision{P: 0.8, Relative: 3e-4}
	type results struct {
		all, stopped *Result
		shares       *Partition
		bars         []Bar
	}
	var first *results
	for _, cores := range []int{1, 2, 3, 8} {
		old := runtime.GOMAXPROCS(cores)
		got := &results{run(t, e.Graph, r), run(t, e.Graph, stops), shared(t, e.Graph, full, r), tornado(t, e.Graph, full, r)}
		runtime.GOMAXPROCS(old)
		if first == nil {
			first = got
		}
		if !reflect.DeepEqual(got, first) {
			t.Errorf("%d cores give another result", cores)
		}
	}
	r.Seed = 8
	if got := run(t, e.Graph, r); reflect.DeepEqual(got.Outputs[0].Mean, first.all.Outputs[0].Mean) {
		t.Error("another seed gives the same mean")
	}
}

// TestInputKeepsItsDraws draws one input alone and beside others.
func TestInputKeepsItsDraws(t *testing.T) {
	t.Parallel()
	alone := write(t)
	a := alone.triangle("m/a", "1", "2", "4")
	want := run(t, alone.done(), Request{Outputs: ids(a), Draws: 20_000, Seed: 3})
	many := write(t)
	first := many.triangle("a/first", "1", "2", "3")
	again := many.triangle("m/a", "1", "2", "4")
	last := many.triangle("z/last", "1", "2", "3")
	sum := many.Add("sum", "sum", first, again, last)
	got := run(t, many.done(), Request{Outputs: ids(sum, again), Draws: 20_000, Seed: 3})
	if !reflect.DeepEqual(got.Outputs[1].Quantiles, want.Outputs[0].Quantiles) || !reflect.DeepEqual(got.Outputs[1].Mean, want.Outputs[0].Mean) {
		t.Error("an input is drawn differently because others exist")
	}
}

// TestSharedInputIsDrawnOnce: what two parts share moves both together, so their
// difference does not vary; nor does a figure that rests on no range, beside others.
func TestSharedInputIsDrawnOnce(t *testing.T) {
	t.Parallel()
	w := write(t)
	copper := w.triangle("copper", "8", "10", "15")
	kg := w.constant("one-kg", "2")
	one := w.Multiply("one", "one", copper, kg)
	two := w.Multiply("two", "two", copper, w.constant("two-kg", "2"))
	both, apart := w.Add("both", "both", one, two), w.Subtract("apart", "apart", one, two)
	r := run(t, w.done(), Request{Outputs: ids(both, apart, kg), Draws: 20_000})
	within(t, "deviation of the sum", r.Outputs[0].Deviation, 4*1.471960, 4, 1e-3)
	if o := r.Outputs[2]; o.Undefined != 0 || o.Deviation.Value != 0 || o.Quantiles[3].Value != 2 {
		t.Errorf("%+v", o)
	}
	if d := r.Outputs[1].Deviation.Value; d != 0 {
		t.Errorf("the difference varies by %v", d)
	}
	if len(r.Inputs) != 1 {
		t.Errorf("%d inputs", len(r.Inputs))
	}
}

// TestDrawsAreWholeBlocks rounds up, to ten replicates at least.
// TestNumberOfAProductIsDrawnOnce: a range that three trims read is one input. What
// the load of a bench deviates by is its slope × the deviation of a triangle,
// √((a² + b² + c² − ab − ac − bc) ÷ 18), and not the root of three squares.
func TestNumberOfAProductIsDrawnOnce(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	packing := &b.Products[0].Routing[2]
	for key, field := range map[string]**bom.Number{"product/LAMP/op/30/piece-time": &packing.PieceMin, "product/LAMP/op/30/setup-time": &packing.SetupMin} {
		was := *field
		*field = &bom.Number{Low: dec("2"), Likely: dec("3"), High: dec("7"), IsRange: true}
		e, err := estimate.Build(b, estimate.NewMix("LAMP", decimal.New(250, 0), "plain", "glow", "tune"), "2026-11-25")
		*field = was
		if err != nil {
			t.Fatal(err)
		}
		g := e.Graph
		load, _ := g.Find("work-centre/BENCH/occupied")
		of, ok := g.Find(key)
		if !ok {
			t.Fatalf("there is no %s", key)
		}
		hold, at := map[graph.ID]decimal.Decimal{}, func(v string) float64 {
			values, err := exact.Evaluate(g, exact.Pins{of: dec(v)})
			if err != nil {
				t.Fatal(err)
			}
			minutes, _ := values.Raw(load)
			return minutes.InexactFloat64()
		}
		for id := range graph.ID(g.Len()) {
			if n := g.Node(id); n.Op == graph.Range && id != of {
				hold[id] = n.Value
			}
		}
		r := run(t, g, Request{Outputs: ids(load), Draws: 20_000, Hold: hold})
		want := (at("7") - at("2")) / 5 * math.Sqrt((4.0+9+49-6-14-21)/18)
		within(t, key+": deviation of the load", r.Outputs[0].Deviation, want, 4, 1e-3)
		if len(r.Inputs) != 1 || want < 3 {
			t.Errorf("%s: %d inputs vary, want %v", key, len(r.Inputs), want)
		}
	}
}

func TestDrawsAreWholeBlocks(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	for asked, blocks := range map[int]int{1: 10, 10_240: 10, 10_241: 11, 20_480: 20} {
		r := run(t, g, Request{Outputs: ids(total), Draws: asked})
		if r.Draws != blocks*column.Block || r.Outputs[0].Defined() != r.Draws || !r.Reached {
			t.Errorf("%d draws asked: %d, %d with a value", asked, r.Draws, r.Outputs[0].Defined())
		}
	}
}

// TestNothingVaries gives the likely value everywhere, and says why.
func TestNothingVaries(t *testing.T) {
	t.Parallel()
	w := write(t)
	x := w.triangle("x", "3", "3", "3")
	sum := w.Add("sum", "sum", x, w.constant("c", "0.1"))
	g := w.done()
	r := run(t, g, Request{Outputs: ids(sum), Draws: 1000, Precision: &Precision{P: 0.5, Relative: 1e-3}})
	o := r.Outputs[0]
	if len(r.Inputs) != 0 || r.Draws != 0 || !r.Reached || o.Undefined != 0 || o.Defined() != 1 {
		t.Errorf("inputs %v, draws %d, undefined %d", r.Inputs, r.Draws, o.Undefined)
	}
	for _, q := range o.Quantiles {
		if q.Value != 3.1 || q.Error != 0 {
			t.Errorf("P%v is %v", q.P, q.Estimate)
		}
	}
	if o.Mean.Value != 3.1 || o.Deviation.Value != 0 || o.Deviation.Error != 0 || o.AtMost(3.1).Value != 1 || o.AtMost(3.09).Value != 0 {
		t.Errorf("mean %v, deviation %v", o.Mean, o.Deviation)
	}
	if !slices.Equal(o.Histogram.Counts, []int{1}) || !slices.Equal(o.Curve, []Point{{X: 3.1, Share: 1}}) {
		t.Errorf("histogram %v, curve %v", o.Histogram, o.Curve)
	}
	if p := shared(t, g, sum, Request{Draws: 1000}); p.Shares != nil || p.Draws != 0 || p.Variance.Value != 0 {
		t.Errorf("shares %v", p)
	}
	if bars := tornado(t, g, sum, Request{}); len(bars) != 0 || !o.Likely.Equal(dec("3.1")) {
		t.Errorf("tornado %v, likely %s", bars, o.Likely)
	}
}

// TestHeldInputDoesNotVary, nor does what only rests on a held figure.
func TestHeldInputDoesNotVary(t *testing.T) {
	t.Parallel()
	w := write(t)
	x, y := w.triangle("x", "1", "2", "4"), w.triangle("y", "1", "2", "4")
	mid := w.Add("mid", "mid", y, w.constant("c", "1"))
	out := w.Multiply("out", "out", x, mid)
	r := run(t, w.done(), Request{Outputs: ids(out), Draws: 10_000, Hold: map[graph.ID]decimal.Decimal{mid: dec("10")}})
	if len(r.Inputs) != 1 || r.Inputs[0] != x || !r.Outputs[0].Likely.Equal(dec("20")) {
		t.Errorf("inputs %v, likely %v", r.Inputs, r.Outputs[0].Likely)
	}
	within(t, "mean", r.Outputs[0].Mean, 10*7.0/3, 4, 1e-4)
}

// offers is a choice between a sure price of 10 and an estimated one of 8, 9, 14.
func offers(t testing.TB) (g *graph.Graph, cost graph.ID) {
	w := write(t)
	sure, hoped := w.constant("sure", "10"), w.triangle("hoped", "8", "9", "14")
	best := w.Least("best", "offer that costs least", sure, hoped)
	cost = w.At("cost", "cost", best, sure, hoped)
	return w.done(), cost
}

// TestChoiceIsHeld buys the offer that is best at likely values, come what may;
// with hindsight the better one each time.
func TestChoiceIsHeld(t *testing.T) {
	t.Parallel()
	g, cost := offers(t)
	held := run(t, g, Request{Outputs: ids(cost), Draws: 100_000})
	within(t, "mean, held", held.Outputs[0].Mean, 31.0/3, 4, 1e-5)
	if len(held.Held) != 1 || held.Held[0].Choice != "input hoped" || len(held.Free) != 0 {
		t.Errorf("held %v, free %v", held.Held, held.Free)
	}
	// E min(10, T) = 10 − ∫ F from 8 to 10, F the triangular share below:
	// 1/18 up to 9, then 1 − (14−x)²/30: 1 − (125 − 64)/90.
	want := 10 - (1.0/18 + 1 - 61.0/90)
	free := run(t, g, Request{Outputs: ids(cost), Draws: 100_000, Hindsight: true})
	within(t, "mean, with hindsight", free.Outputs[0].Mean, want, 4, 1e-5)
	if len(free.Free) != 1 || g.Node(free.Free[0].ID).Key != "best" || len(free.Held) != 0 {
		t.Errorf("held %v, free %v", free.Held, free.Free)
	}
}

// TestWhatIsSettledIsHeld: a regime chosen by a threshold is held like the least of a list
// and followed with hindsight; a price that has been told is held then, too.
func TestWhatIsSettledIsHeld(t *testing.T) {
	t.Parallel()
	w := write(t)
	cost := w.shaped("cost", bom.Uniform, "0", "4", "10")
	low, high := w.constant("low", "1"), w.constant("high", "2")
	regime := w.Settle(w.Choose("regime", "regime", cost, graph.LessOrEqual, w.constant("limit", "5"), low, high), graph.Settled{Options: []string{"small", "large"}})
	price := w.Settle(w.Ceiling("price", "price", cost, w.constant("step", "3")), graph.Settled{Asked: true})
	duty := w.At("duty", "duty", regime, w.constant("none", "0"), w.constant("some", "2"))
	profit := w.Subtract("profit", "profit", w.Subtract("less-duty", "less duty", price, duty), cost)
	g := w.done()
	for hindsight, mean := range map[bool]float64{false: 6 - 5, true: 6 - 1 - 5} {
		r := run(t, g, Request{Outputs: ids(profit, price), Draws: 100_000, Hindsight: hindsight})
		within(t, "mean", r.Outputs[0].Mean, mean, 4, 1e-3)
		choices, left := r.Held, 2
		if hindsight {
			choices, left = append(r.Free, r.Held...), 1
		}
		if len(r.Held) != left || choices[0].ID != regime || choices[0].Choice != "small" || choices[1].ID != price || !choices[1].Asked || r.Outputs[1].Defined() != 1 {
			t.Errorf("hindsight %t: held %v, free %v", hindsight, r.Held, r.Free)
		}
	}
}

// TestChoiceWithoutAValue has none to hold: here 1 ÷ x has no value at a likely x
// of 0, so the choice follows the draws.
func TestChoiceWithoutAValue(t *testing.T) {
	t.Parallel()
	w := write(t)
	x, two := w.triangle("x", "0", "0", "1"), w.constant("two", "2")
	best := w.Least("best", "best", w.Divide("odd", "odd", w.constant("one", "1"), x), two)
	other := w.At("other", "other", best, x, two)
	out := w.Choose("out", "out", x, graph.Equal, w.constant("zero", "0"), two, other)
	g := w.done()
	r := run(t, g, Request{Outputs: ids(out), Draws: 10_000})
	if len(r.Held) != 0 || len(r.Free) != 1 || r.Free[0].ID != best || r.Free[0].Choice != "" {
		t.Errorf("held %v, free %v", r.Held, r.Free)
	}
	// 1/x is below 2 for x above ½, a quarter of the draws, which then come to x.
	within(t, "share at most 1", r.Outputs[0].AtMost(1), 0.25, 4, 1e-3)
}

// decided is a layout that a solver made for x = 5, where x is a range.
func decided(t testing.TB) (g *graph.Graph, out, pick graph.ID) {
	w := write(t)
	x := w.triangle("x", "4", "5", "7")
	pick = w.Decided("pick", "layout", graph.Plain, dec("2"), graph.Choice{Solver: "layout", Rule: "most",
		Options: []string{"along", "across"}, Valid: []graph.Window{{Input: x, Low: dec("5"), High: dec("5")}}})
	out = w.At("out", "out", pick, w.constant("c", "1"), x)
	return w.done(), out, pick
}

// TestDecisionIsHeldOutsideItsWindow: a solver's decision stays what it is when
// the draws leave the window it was made for, with hindsight too.
func TestDecisionIsHeldOutsideItsWindow(t *testing.T) {
	t.Parallel()
	g, out, pick := decided(t)
	for _, hindsight := range []bool{false, true} {
		r := Request{Outputs: ids(out), Draws: 10_000, Hindsight: hindsight}
		got := run(t, g, r)
		within(t, "mean", got.Outputs[0].Mean, 16.0/3, 4, 1e-4)
		if len(got.Held) != 1 || got.Held[0].Choice != "across" || got.Held[0].ID != pick {
			t.Errorf("held %v", got.Held)
		}
		tornado(t, g, out, r)
		shared(t, g, out, r)
	}
	held := run(t, g, Request{Outputs: ids(out), Draws: 1, Hold: map[graph.ID]decimal.Decimal{pick: dec("1")}})
	if !held.Outputs[0].Likely.Equal(dec("1")) || len(held.Inputs) != 1 {
		t.Errorf("an overruled decision gives %v", held.Outputs[0].Likely)
	}
}

// TestDecisionAskedForAnotherLikelyValue is an error of evaluation, with the
// decision's key.
func TestDecisionAskedForAnotherLikelyValue(t *testing.T) {
	t.Parallel()
	g, out, _ := decided(t)
	x, _ := g.Find("x")
	_, err := Run(context.Background(), exact.New(g), Request{Outputs: ids(out), Draws: 1, Hold: map[graph.ID]decimal.Decimal{x: dec("6")}}, silent)
	var outside *column.OutsideDecisionError
	if !errors.As(err, &outside) || outside.Key != "pick" {
		t.Errorf("error %v", err)
	}
}

// TestGoodUnitsOfTheDraw divides by what that draw yields: E[1/y] of a uniform
// yield is ln(b/a) ÷ (b−a), not 1 ÷ E[y].
func TestGoodUnitsOfTheDraw(t *testing.T) {
	t.Parallel()
	w := write(t)
	yield := w.shaped("yield", bom.Uniform, "0.5", "0.8", "1")
	each := w.Divide("each", "cost per good piece", w.constant("cost", "1"), yield)
	r := run(t, w.done(), Request{Outputs: ids(each), Draws: 100_000})
	within(t, "mean", r.Outputs[0].Mean, math.Ln2/0.5, 4, 1e-6)
}

// TestUndefinedDrawsAreCounted: 1 ÷ floor(u·4) has no value for a quarter of the
// draws.
func TestUndefinedDrawsAreCounted(t *testing.T) {
	t.Parallel()
	w := write(t)
	u := w.shaped("u", bom.Uniform, "0", "2", "4")
	whole := w.Floor("whole", "whole", u, w.constant("step", "1"))
	out := w.Divide("out", "out", w.constant("one", "6"), whole)
	r := run(t, w.done(), Request{Outputs: ids(out), Draws: 10_240})
	o := r.Outputs[0]
	if o.Undefined != 2560 || o.Defined() != 7680 {
		t.Errorf("%d undefined of %d", o.Undefined, r.Draws)
	}
	within(t, "mean of 6, 3, 2", o.Mean, 11.0/3, 0, 1e-12)
	if low, high := o.Ends(); low != 2 || high != 6 {
		t.Errorf("ends %v, %v", low, high)
	}
}

func TestPrecisionStopsEarly(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	ask := func(relative float64) *Result {
		return run(t, g, Request{Outputs: ids(total), Draws: 500_000, Precision: &Precision{P: 0.8, Relative: relative}})
	}
	coarse, fine, never := ask(1e-3), ask(3e-4), ask(1e-9)
	for name, r := range map[string]*Result{"coarse": coarse, "fine": fine} {
		if q := r.Outputs[0].Quantiles[3]; !r.Reached || q.Error > q.Value*3e-3 {
			t.Errorf("%s: P80 %v, reached %v", name, q, r.Reached)
		}
	}
	if coarse.Draws >= fine.Draws || fine.Draws >= never.Draws || never.Reached || never.Draws < 500_000 {
		t.Errorf("draws %d, %d, %d; reached %v", coarse.Draws, fine.Draws, never.Draws, never.Reached)
	}
	for _, r := range []*Result{coarse, fine} {
		if n := r.Draws / column.Block; n < 16 || n&(n-1) != 0 {
			t.Errorf("stopped after %d blocks, want 16, 32, 64, …", n)
		}
	}
	// A run that stops is the beginning of one that does not.
	plain := run(t, g, Request{Outputs: ids(total), Draws: fine.Draws})
	if plain.Outputs[0].Mean != fine.Outputs[0].Mean {
		t.Error("the draws differ from those without a precision")
	}
}

// TestProgress comes from the calling goroutine, in order, to the end.
func TestProgress(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	caller := goroutine()
	last, calls := 0, 0
	tell := func(done, of int) {
		if goroutine() != caller || done < last || done > of {
			t.Errorf("%d of %d after %d", done, of, last)
		}
		last = done
		calls++
		if done == of && calls > 102 {
			t.Errorf("%d calls", calls)
		}
	}
	r := Request{Outputs: ids(total), Draws: 400_000}
	if _, err := Run(context.Background(), exact.New(g), r, tell); err != nil || last < 400_000 {
		t.Errorf("ended at %d, error %v", last, err)
	}
	last, calls = 0, 0
	r.Precision = &Precision{P: 0.5, Relative: 0.01}
	early, err := Run(context.Background(), exact.New(g), r, tell)
	if err != nil || last != early.Draws {
		t.Errorf("ended at %d of %d, error %v", last, early.Draws, err)
	}
	last, calls = 0, 0
	if _, err := Shares(context.Background(), exact.New(g), total, r, tell); err != nil || last < 400_000 {
		t.Errorf("shares ended at %d, error %v", last, err)
	}
}

// goroutine names the goroutine that calls it.
func goroutine() string {
	stack := make([]byte, 64)
	name, _, _ := strings.Cut(string(stack[:runtime.Stack(stack, false)]), " [")
	return name
}

// TestCancelLeavesNothing cancels in the middle, before the start and after a
// panic of the progress function, and looks for goroutines left behind.
func TestCancelLeavesNothing(t *testing.T) {
	g, total, _ := lines(t)
	r := Request{Outputs: ids(total), Draws: 5_000_000}
	before := runtime.NumGoroutine()
	for name, do := range map[string]func(context.Context, func(int, int)) error{
		"run": func(ctx context.Context, tell func(int, int)) error {
			_, err := Run(ctx, exact.New(g), r, tell)
			return err
		},
		"shares": func(ctx context.Context, tell func(int, int)) error {
			_, err := Shares(ctx, exact.New(g), total, r, tell)
			return err
		},
	} {
		ctx, cancel := context.WithCancel(context.Background())
		done := 0
		if err := do(ctx, func(d, _ int) { done = d; cancel() }); !errors.Is(err, context.Canceled) || done > 2_500_000 {
			t.Errorf("%s: cancelled after %d draws, error %v", name, done, err)
		}
		if err := do(ctx, silent); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: cancelled before: %v", name, err)
		}
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: the panic is lost", name)
				}
			}()
			_ = do(context.Background(), func(int, int) { panic("stop") })
		}()
	}
	if after := settled(before); after > before {
		t.Errorf("%d goroutines, %d before", after, before)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Tornado(ctx, exact.New(g), total, r); !errors.Is(err, context.Canceled) {
		t.Errorf("tornado: %v", err)
	}
}

// settled counts goroutines once those that have ended are gone: the runtime
// takes them away a moment after their last statement.
func settled(want int) int {
	for range 1000 {
		if n := runtime.NumGoroutine(); n <= want {
			return n
		}
		time.Sleep(time.Millisecond)
	}
	return runtime.NumGoroutine()
}

// TestWords names inputs by thing and input.
func TestWords(t *testing.T) {
	t.Parallel()
	e := glow(t)
	r := run(t, e.Graph, Request{Outputs: ids(e.Variants[0].Full), Draws: 1})
	var inputs []string
	for _, in := range r.Inputs {
		inputs = append(inputs, words(e.Graph, in))
	}
	for _, want := range []string{
		"cutting data copper.end_mill.carbide: cutting speed",
		"heat sink, operation 40: time per piece",
		"acrylic light ring, operation 20: time per area",
		"desk base, operation 10: time per piece",
		"offer of ORVENDA for CU-60X20: price from 1",
	} {
		if !slices.Contains(inputs, want) {
			t.Errorf("no %q among\n%s", want, strings.Join(inputs, "\n"))
		}
	}
	held := map[string]string{}
	for _, d := range r.Held {
		held[words(e.Graph, d.ID)] = d.Choice
	}
	if got := held["heat sink: offer that costs least"]; got != "heat sink: order cost (offer of ORVENDA for CU-60X20)" {
		t.Errorf("the offer held is %q among %v", got, held)
	}
}
