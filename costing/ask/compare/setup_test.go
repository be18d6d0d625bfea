package compare

import (
	"bytes"
	"context"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/testdata"
)

// demoDay is a day on which everything in the demo book is valid.
const demoDay = "2026-11-25"

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// demo reads the demo book with some of its text replaced, in pairs.
func demo(t testing.TB, replaced ...string) *book.Book {
	t.Helper()
	text := testdata.Demo
	for i := 0; i < len(replaced); i += 2 {
		if !bytes.Contains(text, []byte(replaced[i])) {
			t.Fatalf("the demo book has no %q", replaced[i])
		}
		text = bytes.ReplaceAll(text, []byte(replaced[i]), []byte(replaced[i+1]))
	}
	return booktest.Read(t, text)
}

// estimateOf builds a hundred lamps of each trim.
func estimateOf(t testing.TB, b *book.Book, trims ...bom.ID) *estimate.Estimate {
	t.Helper()
	est, err := estimate.Build(b, estimate.NewMix("LAMP", decimal.New(100, 0), trims...), demoDay)
	if err != nil {
		t.Fatal(err)
	}
	return est
}

func sideOf(est *estimate.Estimate, headline string) Side {
	return Side{Graph: est.Graph, Headline: headline}
}

// at is a side with figures pinned, in pairs of key and value.
func (in Side) at(t testing.TB, pins ...string) Side {
	t.Helper()
	out := exact.Pins{}
	for i := 0; i < len(pins); i += 2 {
		id, ok := in.Graph.Find(pins[i])
		if !ok {
			t.Fatalf("there is no figure %s", pins[i])
		}
		out[id] = dec(pins[i+1])
	}
	in.Pins = out
	return in
}

// built builds a small graph; its headline is "headline".
func built(t testing.TB, write func(s graph.Scope)) Side {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	write(b.Root())
	g := graphtest.Built(t, b)
	return Side{Graph: g, Headline: "headline"}
}

// few are the limits of every day, but for how many inputs are few.
func few(n int) limits {
	l := everyday
	l.few = n
	return l
}

// compared compares and wants everything to add up.
func compared(t testing.TB, before, after Side, l limits) *Result {
	t.Helper()
	r, err := between(context.Background(), before, after, l)
	if err != nil {
		t.Fatal(err)
	}
	addsUp(t, r)
	return r
}

// addsUp wants lines and shares to come to the difference to the last digit, and
// to the cent as they are shown.
func addsUp(t testing.TB, r *Result) {
	t.Helper()
	if got := r.After.Value.Sub(r.Before.Value); !got.Equal(r.Difference) {
		t.Fatalf("the difference is %s, not %s", got, r.Difference)
	}
	var lines, shares []Step
	for _, l := range r.Lines {
		lines = append(lines, Step{Amount: l.Share})
	}
	for _, s := range r.Shares {
		shares = append(shares, Step{Amount: s.Amount})
	}
	for _, list := range [][]Step{lines, r.ByKind(), r.ByThing(), Ranked(lines, 3), shares, Ranked(shares, 2)} {
		sum, shown := decimal.Zero, decimal.Zero
		amounts := make([]decimal.Decimal, len(list))
		for i, s := range list {
			sum, amounts[i] = sum.Add(s.Amount), s.Amount
		}
		if !sum.Equal(r.Difference) {
			t.Fatalf("%d parts come to %s, the difference is %s", len(list), sum, r.Difference)
		}
		cents, err := Round(r.Before.Value, amounts, r.Before.Unit, dec("0.01"))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range cents.Steps {
			shown = shown.Add(s.Amount)
		}
		from, to := r.Before.Value.Round(2), r.After.Value.Round(2)
		if !cents.From.Equal(from) || len(list) > 0 && !cents.To.Equal(to) || !from.Add(shown).Equal(cents.To) {
			t.Fatalf("from %s, %s in steps, to %s; from %s to %s", cents.From, shown, cents.To, from, to)
		}
	}
}

// amounts gives the shares by key.
func amounts(r *Result) map[string]decimal.Decimal {
	out := map[string]decimal.Decimal{}
	for _, s := range r.Shares {
		key := s.After.Key
		if s.Kind == OfLine {
			key = s.Line.Name.Key
		}
		out[key] = s.Amount
	}
	return out
}

// wantShares compares shares with numbers, to a tolerance, in pairs of key and share.
func wantShares(t testing.TB, r *Result, tolerance string, pairs ...string) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		got, ok := amounts(r)[pairs[i]]
		if !ok || got.Sub(dec(pairs[i+1])).Abs().GreaterThan(dec(tolerance)) {
			t.Errorf("the share of %s is %s (%t), want %s by %s", pairs[i], got, ok, pairs[i+1], r.Method.Rule)
		}
	}
}
