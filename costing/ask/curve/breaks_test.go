package curve_test

import (
	"fmt"
	"math/big"
	"slices"
	"testing"

	"kerfbook/costing/ask/curve"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/testdata/depth"
)

// keysOf are the nodes of the states.
var keysOf = [statesOf]string{"bars", "bar-price", "loads", "charge", "setups", "pack", "offer"}

// expected is a break as counted by hand.
type expected struct {
	upTo            int64
	causes, follows []string
	effects         map[string]*big.Rat
	total           *big.Rat
}

// breaks counts the breaks of a shop: wherever a state changes. The price of a bar
// follows from the bars. The minimum charge is left behind because of a load if it
// would not be with the loads as they were.
func (s shop) breaks() (out []expected) {
	all := s.all()
	for i := range int(s.to - s.from) {
		q, was, is := s.from+int64(i), all[i], all[i+1]
		e := expected{upTo: q, effects: map[string]*big.Rat{}, total: new(big.Rat)}
		now := is
		for k := range statesOf {
			if was[k] == is[k] {
				continue
			}
			if s.follows(k, q+1, was, is) {
				e.follows = append(e.follows, keysOf[k])
				continue
			}
			then := now
			then[k] = was[k]
			switch k { // what follows goes back as well
			case barsState:
				then[barPriceState] = was[barPriceState]
			case loadsState:
				if s.follows(chargeState, q+1, was, is) {
					then[chargeState] = was[chargeState]
				}
			}
			effect := ft.Minus(s.cost(q+1, now), s.cost(q+1, then))
			if effect.Sign() != 0 || s.later(i, k, all) {
				e.causes, e.effects[keysOf[k]] = append(e.causes, keysOf[k]), effect
			}
			e.total, now = ft.Plus(e.total, effect), then
		}
		if len(e.causes) > 0 {
			out = append(out, e)
		}
	}
	return out
}

func (s shop) follows(k int, q int64, was, is states) bool {
	switch {
	case was[k] == is[k]:
		return false
	case k == barPriceState:
		return true
	case k == chargeState && was[loadsState] != is[loadsState]:
		return s.lot(q, was[loadsState]).Cmp(s.rat(s.minimum)) <= 0
	}
	return false
}

// later reports that a state which makes no difference at once does so one piece
// later, with everything else as it is.
func (s shop) later(i, k int, all []states) bool {
	if all[i+1][k] != all[i+2][k] {
		return false
	}
	q, held := s.from+int64(i)+2, all[i+1]
	held[k] = all[i][k]
	return s.cost(q, held).Cmp(s.cost(q, all[i+1])) != 0
}

// TestBreaksAgainstCounting compares every break of some thousand shops with
// counting loops in fractions: place, causes, what follows, values and effects.
func TestBreaksAgainstCounting(t *testing.T) {
	t.Parallel()
	const shops = 2000
	found, ties := map[string]int{}, 0
	for seed := range depth.Seeds(shops) {
		s := draw(seed)
		o := s.build(t)
		c := sweep(t, o.g, o.request(s))
		got, want := breaks(t, c), s.breaks()
		if len(got) != len(want) {
			t.Fatalf("seed %d %+v: %d breaks, counted %d\n%s", seed, s, len(got), len(want), listed(got, want))
		}
		for i := range want {
			if diff := compare(got[i], want[i]); diff != "" {
				t.Fatalf("seed %d %+v: up to %d: %s", seed, s, want[i].upTo, diff)
			}
			for _, k := range append(want[i].causes, want[i].follows...) {
				found[k]++
			}
		}
		checkRuns(t, c, want)
		ties += s.ties()
		for _, n := range c.Counted {
			if n.Key != "start" {
				t.Errorf("seed %d: %s is counted piece by piece", seed, n.Key)
			}
		}
	}
	for _, k := range keysOf {
		if found[k] < depth.Of(shops)/10 {
			t.Errorf("only %d breaks of %s", found[k], k)
		}
	}
	if ties < depth.Of(shops)/5 {
		t.Errorf("only %d ties", ties)
	}
}

func listed(got []curve.Break, want []expected) string {
	out := ""
	for _, b := range got {
		out += fmt.Sprint("got ", b.UpTo, keys(b.Causes), " ")
	}
	for _, b := range want {
		out += fmt.Sprint("\nwant ", b.upTo, b.causes)
	}
	return out
}

func keys(steps []curve.Step) (out []string) {
	for _, s := range steps {
		out = append(out, s.Key)
	}
	return out
}

func compare(got curve.Break, want expected) string {
	switch {
	case got.UpTo != want.upTo || got.From != want.upTo+1:
		return fmt.Sprintf("is up to %d, from %d", got.UpTo, got.From)
	case !slices.Equal(keys(got.Causes), want.causes):
		return fmt.Sprintf("causes %v, counted %v", keys(got.Causes), want.causes)
	case !slices.Equal(keys(got.Follows), want.follows):
		return fmt.Sprintf("with it %v, counted %v", keys(got.Follows), want.follows)
	case !near(got.Effect.Rat(), want.total):
		return fmt.Sprintf("effect %s, counted %s", got.Effect, want.total.FloatString(6))
	}
	for _, s := range got.Causes {
		if !near(s.Effect.Rat(), want.effects[s.Key]) {
			return fmt.Sprintf("effect of %s %s, counted %s", s.Key, s.Effect, want.effects[s.Key].FloatString(6))
		}
	}
	return ""
}

// near allows for the 34 digits that a per-piece cost has on its way to the batch
// cost and back.
func near(a, b *big.Rat) bool {
	diff := ft.Minus(a, b)
	return diff.Abs(diff).Cmp(ft.Rat("0.0000000000000000000000001")) < 0
}

// checkRuns holds the runs against the breaks: they cover the range and end at
// every break.
func checkRuns(t *testing.T, c *curve.Curve, want []expected) {
	t.Helper()
	runs, from := c.Runs(), c.From
	for i, r := range runs {
		end := c.To
		if i < len(want) {
			end = want[i].upTo
		}
		if r.From != from || r.To != end || len(runs) != len(want)+1 {
			t.Fatalf("run %d is %d to %d, want %d to %d", i, r.From, r.To, from, end)
		}
		from = end + 1
	}
}

// TestValuesAgainstCounting compares the curve, every mark and the cheapest
// quantity with the same counting.
func TestValuesAgainstCounting(t *testing.T) {
	t.Parallel()
	for seed := range depth.Seeds(300) {
		s := draw(seed + 9000)
		o := s.build(t)
		r := o.request(s)
		r.Marks = []int64{s.from, (s.from + s.to) / 2, s.to}
		c := sweep(t, o.g, r)
		all, least, at := s.all(), (*big.Rat)(nil), int64(0)
		for q := s.from; q <= s.to; q++ {
			want := ft.Over(s.cost(q, s.at(q)), rat(q))
			if f, _ := want.Float64(); !close9(c.Values[q-s.from], f) {
				t.Fatalf("seed %d: %d pieces cost %v each, counted %v", seed, q, c.Values[q-s.from], f)
			}
			if want.Cmp(ft.Over(s.cost(q, all[q-s.from]), rat(q))) != 0 {
				t.Fatalf("seed %d: a tie at %d changes the cost", seed, q)
			}
			if least == nil || want.Cmp(least) < 0 {
				least, at = want, q
			}
		}
		for _, m := range c.Marks {
			if want := ft.Over(s.cost(m.Quantity, s.at(m.Quantity)), rat(m.Quantity)); !near(m.Value.Rat(), want) {
				t.Errorf("seed %d: mark %d is %s, counted %s", seed, m.Quantity, m.Value, want.FloatString(30))
			}
		}
		l, err := c.Least(t.Context())
		if err != nil || l.Quantity != at || !near(l.Value.Rat(), least) {
			t.Errorf("seed %d: least at %d (%s), counted %d (%s) %v", seed, l.Quantity, l.Value, at, least.FloatString(9), err)
		}
	}
}

func close9(a, b float64) bool { return a-b <= 1e-9*b && b-a <= 1e-9*b }
