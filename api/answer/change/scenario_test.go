package change

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
)

// everyday are changes that may be made together: numbers by the key of their figure and
// by their place, words, and things taken away.
var everyday = []Change{
	{Key: "work-centre/MILL/labour-rate", Value: "41.50"}, {Key: "rate-card/selling", Value: "0.09"}, {Key: "part/HS-010/op/20/setup-time", Value: "12"},
	{Key: "book/parts/HS-010/routing[0].setup_min", Value: "3"}, {Key: "book/parts/HS-010/routing[2].load_handling_min", Value: "2.9"},
	{Key: "part/SH-ACR/blank-diameter", Value: "131"}, {Key: "book/work_centres/LATHE/name", Value: "the old lathe"},
	{Key: "book/parts/HS-010/routing[3]", Value: ""}, {Key: "book/parts/HS-010/routing[4].yield", Value: ""}, {Key: "mix/glow", Value: "75"},
	{Key: "book/parts/HS-010/routing[1].features[8]", Value: ""},
}

// TestScenarioIsTheBookWithItsChanges takes several changes at random: every figure that is
// shown beforehand is that of the book with the changes in it, and with one change taken
// out again the figures are those without it.
func TestScenarioIsTheBookWithItsChanges(t *testing.T) {
	t.Parallel()
	held := demoShelf(t)
	o := OriginOf(answer.Of(held.Book))
	draw := rand.New(rand.NewPCG(4, 7))
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(120), "plain", "glow")
	for round := range 8 {
		var changes []Change
		for _, at := range draw.Perm(len(everyday))[:2+round%4] {
			changes = append(changes, everyday[at])
		}
		before, err := o.Evaluate(t.Context(), mix, "2026-11-25")
		if err != nil {
			t.Fatal(err)
		}
		shown, err := held.changedBy(t.Context(), before, mix, changes)
		if err != nil {
			t.Fatalf("%v: %v", changes, err)
		}
		if n := wantSame(t, fmt.Sprint(changes), shown, saved(t, held, mix, changes)); n < 2000 {
			t.Errorf("only %d figures are compared", n)
		}
		what, err := o.WhatIf(t.Context(), mix, "2026-11-25", changes)
		if err != nil || len(what.Changes) != len(changes) {
			t.Fatal(what.Changes, err)
		}
		without, err := held.changedBy(t.Context(), before, mix, changes[1:])
		if err != nil {
			t.Fatal(err)
		}
		wantSame(t, "without the first", without, saved(t, held, mix, changes[1:]))
	}
}

// saved is the batch of the book in which changes have been made.
func saved(t *testing.T, held *Shelf, mix []estimate.MixLine, changes []Change) *answer.Evaluation {
	t.Helper()
	asked := make([]estimate.MixLine, len(mix))
	copy(asked, mix)
	var kept []Change
	for _, c := range changes {
		if trim, ok := strings.CutPrefix(c.Key, "mix/"); ok {
			for i := range asked {
				if string(asked[i].Trim) == trim {
					asked[i].Quantity = bom.Exactly(decimal.RequireFromString(c.Value))
				}
			}
			continue
		}
		kept = append(kept, c)
	}
	next := held
	if len(kept) > 0 {
		drafts, err := held.Applied(kept, func(s *Shelf) ([]*graph.Graph, error) {
			e, err := answer.Of(s.Book).Evaluate(t.Context(), mix, "2026-11-25")
			return []*graph.Graph{e.Estimate.Graph}, err
		})
		if err != nil {
			t.Fatal(err)
		}
		next = held.With(drafts)
	}
	e, err := answer.Of(next.Book).Evaluate(t.Context(), asked, "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// wantSame holds every figure of two evaluations against one another.
func wantSame(t *testing.T, what string, got, want *answer.Evaluation) int {
	t.Helper()
	g, other := got.Estimate.Graph, want.Estimate.Graph
	if g.Len() != other.Len() {
		t.Errorf("%s: %d figures, saved %d", what, g.Len(), other.Len())
	}
	for id := range graph.ID(other.Len()) {
		here, ok := g.Find(other.Key(id))
		if !ok {
			t.Errorf("%s: there is no %s", what, other.Key(id))
			continue
		}
		value, is := got.Values.Raw(here)
		saved, was := want.Values.Raw(id)
		if is != was || !value.Equal(saved) {
			t.Errorf("%s: %s is %s, saved %s", what, other.Key(id), value, saved)
		}
	}
	return other.Len()
}

// TestWhyAFigureMoves: of several changes each says what it moves a figure by alone.
func TestWhyAFigureMoves(t *testing.T) {
	t.Parallel()
	o := OriginOf(answer.Of(demoShelf(t).Book))
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(100), "glow")
	changes := []Change{{Key: "work-centre/MILL/labour-rate", Value: "41.50"}, {Key: "book/parts/HS-010/routing[2]", Value: ""}, {Key: "book/suppliers/USTRELIN/name", Value: "Ustrelin"}}
	what, err := o.WhatIf(t.Context(), mix, "2026-11-25", changes)
	if err != nil {
		t.Fatal(err)
	}
	glow := what.Moves[0]
	if glow.Trim != "glow" || len(what.Moves) != 2 || what.Moves[1].Part != "HS-010" {
		t.Fatalf("%+v", what.Moves)
	}
	for _, m := range glow.Figures {
		if m.Label != "full cost" {
			continue
		}
		for _, because := range m.Because {
			alone, err := o.WhatIf(t.Context(), mix, "2026-11-25", []Change{{because.Change, map[string]string{changes[0].Key: "41.50"}[because.Change]}})
			if err != nil || alone.Moves[0].Figures == nil {
				t.Fatal(err)
			}
			for _, a := range alone.Moves[0].Figures {
				if a.Label == m.Label && a.Difference.Value != because.Difference.Value {
					t.Errorf("%s alone moves it by %s, not %s", because.Label, a.Difference.Value, because.Difference.Value)
				}
			}
		}
		if len(m.Because) != 2 || m.Because[0].Label != "30 slit the fins" {
			t.Errorf("it moves because of %+v", m.Because)
		}
	}
	one, err := o.WhatIf(t.Context(), mix, "2026-11-25", changes[:1])
	if err != nil || len(one.Moves[0].Figures[0].Because) != 1 || one.Moves[0].Figures[0].Because[0].Change != "" {
		t.Errorf("one change: %+v, %v", one.Moves[0].Figures[0], err)
	}
	for i, m := range one.Moves[0].Figures[1:] {
		before := one.Moves[0].Figures[i]
		if m.Destination == "" && m.rank() == before.rank() && larger(before.Difference, m.Difference) > 0 {
			t.Errorf("%s stands before %s", before.Label, m.Label)
		}
	}
}

// TestLapsedChanges: what the book says otherwise by now is told with the reason, and the
// rest is computed.
func TestLapsedChanges(t *testing.T) {
	t.Parallel()
	held := demoShelf(t)
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(100), "glow")
	changes := []Change{{Key: "work-centre/MILL/labour-rate", Value: "41.50"}, {Key: "book/parts/HS-010/routing[1].setup_min", Value: "20"},
		{Key: "book/parts/HS-010/routing[2].load_handling_min", Value: "3"}, {Key: "rate-card/selling", Value: "0.09"}, {Key: "book/work_centres/SAW/name", Value: "cold saw"}}
	scenario, err := OriginOf(answer.Of(held.Book)).Propose(t.Context(), mix, "2026-11-25", changes)
	if err != nil {
		t.Fatal(err)
	}
	drafts, err := held.Applied([]Change{{Key: "book/work_centres/MILL/labour_rate_per_h", Value: "30"}, {Key: "book/parts/HS-010/routing[0]", Value: ""}, {Key: "book/work_centres/SAW/name", Value: "cold saw"}},
		func(*Shelf) ([]*graph.Graph, error) { return nil, nil })
	if err != nil {
		t.Fatal(err)
	}
	o := OriginOf(answer.Of(held.With(drafts).Book))
	what, err := o.WhatIfOf(t.Context(), mix, "2026-11-25", scenario)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"the book says 30 by now; it was written when that was 26", "its place is taken by 30 slit the fins; it was written for 20 mill", "its place is taken by 40", "the book says so already"} {
		if i >= len(what.Lapsed) || !strings.HasPrefix(what.Lapsed[i].Why, want) {
			t.Errorf("%q, not %q", what.Lapsed, want)
		}
	}
	rest, err := o.WhatIf(t.Context(), mix, "2026-11-25", changes[3:4])
	if err != nil || len(what.Changes) != 1 || rest.After.Variants[0].Full.Value != what.After.Variants[0].Full.Value {
		t.Errorf("the rest: %+v, %v", what.Changes, err)
	}
	none, err := o.WhatIfOf(t.Context(), mix, "2026-11-25", nil)
	if err != nil || len(none.Moves[0].Figures) > 0 || none.Moves[0].Find("full cost").After.Value != rest.Before.Variants[0].Full.Value || none.Moves[0].Find(MinutesLabel).Before.Value == "" {
		t.Errorf("a scenario without changes: %+v, %v", none.Moves, err)
	}
}
