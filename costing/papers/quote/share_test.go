package quote

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

// Random amounts over random weights, in steps of 1, 0.01 and 0.05: the shares
// are multiples of the step, add up to the amount exactly, and none is further
// than a step from its exact part.
func TestSharesAddUpToTheCent(t *testing.T) {
	t.Parallel()
	const mostLines, draws = 40, 260 // 10,400 cases
	for lines := 1; lines <= mostLines; lines++ {
		s := newSharing(t, lines)
		r := rand.New(rand.NewPCG(uint64(lines), 7))
		for draw := range draws {
			s.draw(t, r, draw)
		}
	}
}

// sharing is an amount shared out over a number of lines, to be evaluated often.
type sharing struct {
	evaluator           *exact.Evaluator
	amount, total, step graph.ID
	weights, shares     []graph.ID
}

func newSharing(t *testing.T, lines int) *sharing {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s, eur := b.Root(), graph.Currency("EUR")
	pinned := decimal.New(1, 0)
	out := &sharing{amount: s.Input("amount", "amount", eur, pinned), total: s.Input("total", "total", eur, pinned), step: s.Input("step", "step", eur, pinned)}
	var scopes []graph.Scope
	for i := range lines {
		at := s.In("line", strconv.Itoa(i))
		scopes, out.weights = append(scopes, at), append(out.weights, at.Input("weight", "weight", eur, pinned))
	}
	out.shares = shareOut(scopes, "share", "share", out.amount, out.total, out.step, out.weights)
	g := graphtest.Built(t, b)
	out.evaluator = exact.New(g)
	return out
}

func (s *sharing) draw(t *testing.T, r *rand.Rand, draw int) {
	t.Helper()
	step := []decimal.Decimal{decimal.New(1, 0), decimal.New(1, -2), decimal.New(5, -2)}[r.IntN(3)]
	amount, total := step.Mul(decimal.New(r.Int64N(1_000_000), 0)), decimal.Zero
	pins := exact.Pins{s.amount: amount, s.step: step}
	for _, id := range s.weights {
		pins[id] = decimal.New(max(0, r.Int64N(100_000)-20_000), -2) // some are nothing
		total = total.Add(pins[id])
	}
	if pins[s.total] = total; total.IsZero() {
		return
	}
	values, err := s.evaluator.Evaluate(pins)
	if err != nil {
		t.Fatal(err)
	}
	sum := decimal.Zero
	for i, id := range s.shares {
		share, err := values.Get(id)
		if err != nil {
			t.Fatal(err)
		}
		sum = sum.Add(share)
		part := amount.Mul(pins[s.weights[i]]).DivRound(total, 20)
		if !share.Mod(step).IsZero() || share.Sub(part).Abs().GreaterThan(step) {
			t.Fatalf("%d lines, draw %d: share %d is %s, its part %s", len(s.shares), draw, i, share, part)
		}
	}
	if !sum.Equal(amount) {
		t.Fatalf("%d lines, draw %d: the shares add up to %s, not %s", len(s.shares), draw, sum, amount)
	}
}
