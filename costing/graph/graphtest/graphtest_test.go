package graphtest

import (
	"fmt"
	"math/big"
	"reflect"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

func TestCasesAreSound(t *testing.T) {
	t.Parallel()
	names := map[string]bool{}
	ops := map[graph.Op]bool{}
	for _, c := range Cases() {
		if names[c.Name] {
			t.Errorf("two cases are called %s", c.Name)
		}
		names[c.Name] = true
		g, _, err := c.Graph()
		if err != nil {
			t.Error(err)
			continue
		}
		for i := range graph.ID(g.Len()) {
			ops[g.Node(i).Op] = true
		}
		for _, want := range c.Want {
			if _, err := decimal.NewFromString(want); err != nil && want != Undefined {
				t.Errorf("case %s: answer %q", c.Name, want)
			}
		}
	}
	for op := range graph.OpCount {
		if !ops[op] {
			t.Errorf("no case of %s", op)
		}
	}
}

func TestRandomIsDeterministic(t *testing.T) {
	t.Parallel()
	for seed := range uint64(5) {
		if !reflect.DeepEqual(Random(seed, 150), Random(seed, 150)) {
			t.Errorf("seed %d gives two graphs", seed)
		}
	}
	if reflect.DeepEqual(Random(1, 150), Random(2, 150)) {
		t.Error("two seeds give one graph")
	}
}

func TestRandomHasEveryOperation(t *testing.T) {
	t.Parallel()
	for seed := range uint64(40) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			g := Random(seed, 200)
			if n := g.Len(); n < 200 || n > 230 {
				t.Errorf("%d nodes, want about 200", n)
			}
			ops := map[graph.Op]bool{}
			for i := range graph.ID(g.Len()) {
				ops[g.Node(i).Op] = true
			}
			for op := range graph.OpCount {
				if !ops[op] {
					t.Errorf("no %s", op)
				}
			}
		})
	}
}

const prec = 300

func whole(n int64) *big.Float { return new(big.Float).SetPrec(prec).SetInt64(n) }

func quo(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Quo(a, b) }

func sum(terms ...*big.Float) *big.Float {
	out := whole(0)
	for _, t := range terms {
		out.Add(out, t)
	}
	return out
}

func times(n int64, a *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Mul(whole(n), a) }

// inverseTangent sums 1/n − 1/3n³ + 1/5n⁵ − … (sign −1), or the same without the
// changing signs: the hyperbolic one.
func inverseTangent(n, sign int64) *big.Float {
	out, power := whole(0), quo(whole(1), whole(n))
	for k := int64(1); k < 200; k += 2 {
		out.Add(out, quo(power, whole(k)))
		power = quo(times(sign, power), whole(n*n))
	}
	return out
}

// TestDigits computes the published digits again: π by Størmer's formula,
// logarithms by ln 2 = 2 artanh 1/3 and ln 10 = 3 ln 2 + 2 artanh 1/9.
func TestDigits(t *testing.T) {
	t.Parallel()
	root := func(n int64) *big.Float { return new(big.Float).SetPrec(prec).Sqrt(whole(n)) }
	circle := sum(times(24, inverseTangent(8, -1)), times(8, inverseTangent(57, -1)), times(4, inverseTangent(239, -1)))
	log2 := times(2, inverseTangent(3, 1))
	for _, c := range []struct {
		name, digits string
		value        *big.Float
	}{
		{"√2", rootTwo, root(2)}, {"√3", rootThree, root(3)}, {"√10", rootTen, root(10)},
		{"π", pi, circle}, {"π/2", halfPi, quo(circle, whole(2))}, {"π/3", thirdPi, quo(circle, whole(3))},
		{"ln 2", logTwo, log2}, {"ln 10", logTen, sum(times(3, log2), times(2, inverseTangent(9, 1)))},
	} {
		places := len(c.digits) - 2
		if got := c.value.Text('f', places); got != c.digits {
			t.Errorf("%s is %s, the table has %s", c.name, got, c.digits)
		}
	}
}
