package compare

import (
	"context"
	"fmt"
	"math"
	"math/bits"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Glove game, with Shapley values 1/6, 1/6, 2/3 as published (lecture notes and
// encyclopaedia entries on the Shapley value): two players have a right glove, one
// a left; a pair is worth 1.
func TestGloveGame(t *testing.T) {
	t.Parallel()
	got, err := shapley(context.Background(), 3, func(subset uint) (decimal.Decimal, error) {
		if subset&4 != 0 && subset&3 != 0 {
			return decimal.New(1, 0), nil
		}
		return decimal.Zero, nil
	}, 20)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"0.16666666666666666667", "0.16666666666666666667", "0.66666666666666666667"} {
		if !got[i].Equal(dec(want)) {
			t.Errorf("player %d gets %s, want %s", i+1, got[i], want)
		}
	}
}

// Additive game, v(S) = the sum of the numbers of its players: each gets their
// number (lecture-note example; player 1 as published, the others recomputed).
func TestAdditiveGame(t *testing.T) {
	t.Parallel()
	got, err := shapley(context.Background(), 3, func(subset uint) (decimal.Decimal, error) {
		sum := int64(0)
		for rest := subset; rest != 0; rest &= rest - 1 {
			sum += int64(bits.TrailingZeros(rest)) + 1
		}
		return decimal.New(sum, 0), nil
	}, 20)
	if err != nil {
		t.Fatal(err)
	}
	for i := range got {
		if !got[i].Equal(decimal.New(int64(i)+1, 0)) {
			t.Errorf("player %d gets %s", i+1, got[i])
		}
	}
}

// Prices and quantities of six goods over five periods: Producer Price Index
// Manual (ILO, IMF, OECD, UN, World Bank 2004), tables 19.1 and 19.2.
var (
	manualPrices = [5][6]string{
		{"1", "1", "1", "1", "1", "1"}, {"1.2", "3.0", "1.3", ".7", "1.4", ".8"}, {"1", "1", "1.5", ".5", "1.7", ".6"},
		{".8", ".5", "1.6", ".3", "1.9", ".4"}, {"1", "1", "1.6", ".1", "2.0", ".2"},
	}
	manualQuantities = [5][6]string{
		{"1", "1", "2", "1", "4.5", ".5"}, {".8", ".9", "1.9", "1.3", "4.7", ".6"}, {"1", "1.1", "1.8", "3", "5", ".8"},
		{"1.2", "1.2", "1.9", "6", "5.6", "1.3"}, {".9", "1.2", "2", "12", "6.5", "2.5"},
	}
)

// manual builds the value of the goods in a period.
func manual(t *testing.T, period int) Side {
	return built(t, func(s graph.Scope) {
		var pairs []graph.ID
		for i := range 6 {
			name := strconv.Itoa(i + 1)
			pairs = append(pairs, s.Input("price/"+name, "price of good "+name, graph.Currency("EUR"), dec(manualPrices[period][i])),
				s.Input("quantity/"+name, "quantity of good "+name, graph.Plain, dec(manualQuantities[period][i])))
		}
		s.SumProducts("headline", "value", pairs...)
	})
}

// valueWith evaluates the goods of a period with the prices of another.
func valueWith(t *testing.T, prices, quantities int) decimal.Decimal {
	side := manual(t, quantities)
	var pins []string
	for i := range 6 {
		pins = append(pins, fmt.Sprintf("price/%d", i+1), manualPrices[prices][i])
	}
	s, err := side.at(t, pins...).prepare("after")
	if err != nil {
		t.Fatal(err)
	}
	return s.value
}

// The indices are those of the example output for these data published with an
// open package for index numbers: Laspeyres 1.42 1.345 1.355 1.44, Paasche 1.3824
// 1.2031 1.0209 0.7968.
func TestIndicesOfTheManual(t *testing.T) {
	t.Parallel()
	laspeyres := []string{"1.42", "1.345", "1.355", "1.44"}
	paasche := []string{"1.3824", "1.2031", "1.0209", ".7968"}
	for i := range 4 {
		for _, c := range []struct {
			name, want string
			base       int
		}{{"Laspeyres", laspeyres[i], 0}, {"Paasche", paasche[i], i + 1}} {
			got := valueWith(t, i+1, c.base).DivRound(valueWith(t, 0, c.base), 8)
			if got.Sub(dec(c.want)).Abs().GreaterThan(dec("0.00005")) {
				t.Errorf("%s of period %d is %s, want %s", c.name, i+2, got, c.want)
			}
		}
	}
}

// The change of value from period 1 to period 2 is 4.10. Recomputed on the
// manual's data: prices at the old quantities 4.20, at the new 3.90; quantities at
// the old prices .20, at the new −.10; Bennet's prices 4.05 and quantities .05, which
// Shapley and Aumann and Shapley must give too, the value being bilinear.
func TestBennet(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		prices, quantities int
		want               string
	}{{1, 0, "4.20"}, {0, 1, ".20"}, {1, 1, "4.10"}} {
		if got := valueWith(t, c.prices, c.quantities).Sub(valueWith(t, 0, 0)); !got.Equal(dec(c.want)) {
			t.Errorf("prices %d, quantities %d: %s, want %s", c.prices, c.quantities, got, c.want)
		}
	}
	for _, n := range []int{12, 1} {
		r := compared(t, manual(t, 0), manual(t, 1), limits{n, 1e-9, everyday.most})
		prices, quantities := decimal.Zero, decimal.Zero
		for i := range 6 {
			prices = prices.Add(amounts(r)[fmt.Sprintf("price/%d", i+1)])
			quantities = quantities.Add(amounts(r)[fmt.Sprintf("quantity/%d", i+1)])
		}
		tolerance := dec("1e-11")
		if n == 12 {
			tolerance = decimal.Zero
		}
		if prices.Sub(dec("4.05")).Abs().GreaterThan(tolerance) || quantities.Sub(dec("0.05")).Abs().GreaterThan(tolerance) {
			t.Errorf("%s: prices %s, quantities %s", r.Method.Rule, prices, quantities)
		}
		if r.Method.Inputs != 12 || (r.Method.Rule == Shapley) != (n == 12) {
			t.Errorf("method %+v", r.Method)
		}
	}
}

// Two factors, our own arithmetic: 10 × 100 becomes 12 × 90. In order the factors
// give (200, −120) or (180, −100); Shapley (190, −110).
func TestTwoFactors(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		a := s.Input("a", "minutes", graph.Minute, dec("10"))
		b := s.Input("b", "rate", graph.Currency("EUR").Per(graph.Minute), dec("100"))
		s.Multiply("headline", "cost", a, b)
	})
	for _, n := range []int{2, 1} {
		r := compared(t, side, side.at(t, "a", "12", "b", "90"), few(n))
		wantShares(t, r, "1e-12", "a", "190", "b", "-110")
	}
}

// Cost = minutes × rate ÷ yield with 12 min at 90 EUR/h and yield .95, then 15 min
// at 96 EUR/h and yield .90: our own arithmetic, worked by hand in both orders and
// by numeric integration. The logarithmic mean is another rule and only compared.
func TestThreeFactors(t *testing.T) {
	t.Parallel()
	before := built(t, func(s graph.Scope) {
		perMinute := graph.Currency("EUR").Per(graph.Minute)
		hourly := s.Input("rate", "machine rate", perMinute, dec("90"))
		rate := s.Divide("rate-by-minute", "rate by the minute", hourly, s.Fixed("minutes", "minutes per hour", graph.Plain, dec("60"), ""))
		cost := s.Multiply("cost", "cost of machine time", s.Input("minutes", "minutes", graph.Minute, dec("12")), rate)
		s.Divide("headline", "cost per good piece", cost, s.Input("yield", "yield", graph.Plain, dec("0.95")))
	})
	after := before.at(t, "minutes", "15", "rate", "96", "yield", "0.9")
	order := []string{"minutes", "rate", "yield"}
	for keys, want := range map[[3]string][3]string{
		{"minutes", "rate", "yield"}: {"4.736842", "1.578947", "1.403509"},
		{"yield", "rate", "minutes"}: {"1.052632", "1.333333", "5.333333"},
	} {
		wantInOrder(t, before, after, keys, want)
	}
	r := compared(t, before, after, limits{1, 1e-6, 2_000_000})
	wantShares(t, r, "0.00001", "minutes", "5.029713", "rate", "1.461277", "yield", "1.228308")
	if r.Method.Rule != AumannShapley || !r.Method.Settled {
		t.Errorf("method %+v", r.Method)
	}
	// L(C₁, C₀) ln(x₁ ÷ x₀): close to it, and not it.
	mean := 7.719298 / math.Log(26.666667/18.947368)
	for i, ratio := range []float64{15.0 / 12, 96.0 / 90, 0.95 / 0.9} {
		got, _ := amounts(r)[order[i]].Float64()
		if d := math.Abs(mean*math.Log(ratio) - got); d > 0.02 || d < 1e-4 {
			t.Errorf("the logarithmic mean of %s is %f away", order[i], d)
		}
	}
}

// wantInOrder changes inputs one after another.
func wantInOrder(t *testing.T, before, after Side, keys, want [3]string) {
	t.Helper()
	last := before
	pins := []string(nil)
	for i, key := range keys {
		id, _ := after.Graph.Find(key)
		pins = append(pins, key, after.Pins[id].String())
		next := before.at(t, pins...)
		r := compared(t, last, next, everyday)
		wantShares(t, r, "0.000001", key, want[i])
		last = next
	}
}
