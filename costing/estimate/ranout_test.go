package estimate_test

import (
	"slices"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/proof"
)

// oldPrices is a product in two trims: one uses a part and a process, one another
// part.
const oldPrices = `
parts:
  - {number: P, kind: bought, revision: A, name: part P}
  - {number: Q, kind: bought, revision: A, name: part Q}
offers:
  - {for: P, supplier: T, unit: piece, currency: EUR, breaks: [{from: 1, price: 19}], valid_until: 2026-11-20}
  - {for: P, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 20}], valid_until: 2026-11-20}
  - {for: P, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 7}], valid_until: 2025-11-20}
  - {for: Q, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 5}]}
outside_processes:
  - {id: N, name: nickel, supplier: S, currency: EUR, piece_price: 3, valid_until: 2026-11-27}
products:
  - number: X
    revision: A
    name: product X
    options: [{id: o, name: O, choices: [{id: p, name: p}, {id: q, name: q}]}]
    trims:
      - {id: only, name: Only, choices: {o: p}}
      - {id: other, name: Other, choices: {o: q}}
    positions:
      - {number: 1, part: P, quantity: 1, when: [{o: [p]}]}
      - {number: 2, part: Q, quantity: 1, when: [{o: [q]}]}
    routing: [{number: 10, name: plate, kind: outside, treatment: {process: N}}]
`

func ranOut(t *testing.T, day bom.Date, trim bom.ID) (sheet, []string) {
	t.Helper()
	est, err := estimate.Build(smallBook(t, oldPrices), []estimate.MixLine{{Product: "X", Trim: trim, Quantity: bom.Whole(10)}}, day)
	if err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, f := range est.Graph.Findings() {
		if f.Severity == graph.Warning {
			said = append(said, f.Path+": "+f.Message)
		}
	}
	return evaluate(t, est, nil), said
}

// TestPricesThatRanOutAreStillUsed: where no price holds, those that held last are
// used, with a word at their place and their age on what rests on them.
func TestPricesThatRanOutAreStillUsed(t *testing.T) {
	t.Parallel()
	s, said := ranOut(t, "2026-11-28", "only")
	ft.Same(t, "full cost", s.rat(s.est.Variants[0].Full), ft.Rat("22")) // 19 of T and 3
	want := []string{
		"offers[1].valid_until: supplier S's price for P ran out on 20 November 2026, 8 days ago, and is still used: ask for a new one and enter it",
		"offers[0].valid_until: T's price for P ran out on 20 November 2026, 8 days ago, and is still used: ask for a new one and enter it",
		"outside_processes[0].valid_until: supplier S's price for nickel ran out on 27 November 2026, 1 day ago, and is still used: ask for a new one and enter it",
	}
	slices.Sort(said)
	slices.Sort(want)
	if !slices.Equal(said, want) {
		t.Errorf("said %q, want %q", said, want)
	}
	ages := proof.Ages(s.est.Graph, s.v)
	for key, age := range map[string]int{"variant/only/each/full": 8, "variant/only/each/outside": 1, "part/P/bought-cost": 8, "mix/only": 0} {
		id, ok := s.est.Graph.Find(key)
		if !ok || ages[id] != age {
			t.Errorf("%s: %t, %d days, want %d", key, ok, ages[id], age)
		}
	}
	step := proof.Explain(s.est.Graph, s.v, s.est.Variants[0].Full, 1)
	if step.OutOfDateDays != 8 {
		t.Errorf("the proof says %d days", step.OutOfDateDays)
	}

	s, said = ranOut(t, "2026-11-20", "only")
	if ft.Same(t, "in force", s.rat(s.est.Variants[0].Full), ft.Rat("22")); len(said) > 0 || proof.Ages(s.est.Graph, s.v) != nil {
		t.Errorf("on its last day a price holds: %q", said)
	}
	s, said = ranOut(t, "2026-11-25", "other")
	if ft.Same(t, "not used", s.rat(s.est.Variants[0].Full), ft.Rat("8")); len(said) > 0 {
		t.Errorf("what is not used is told: %q", said)
	}
}

// TestNoOfferAtAll: what was never offered is named.
func TestNoOfferAtAll(t *testing.T) {
	t.Parallel()
	b := smallBook(t, oldPrices)
	b.Offers = b.Offers[3:]
	list := lacking(t, b, smallMix())
	says(t, list, "offer for P")
}
