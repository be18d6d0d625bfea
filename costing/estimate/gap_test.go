package estimate_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// A product without a classification is priced in every channel and wherever the
// way it is imported asks for no duty; elsewhere its landed price is blank, and
// what stands there leads to the field.
func TestLandedPriceIsBlankWithoutItsClassification(t *testing.T) {
	t.Parallel()
	b := demo(t)
	b.Products[0].HSCode, b.Products[0].National = "", nil
	s := evaluatedBatch(t, b, "glow=250")
	var blank []string
	for _, l := range s.est.Landed {
		if l.Consignment != "glow" {
			continue
		}
		_, err := s.v.Get(l.BuyerClears.Total)
		var undefined *exact.UndefinedError
		if errors.As(err, &undefined) {
			blank = append(blank, l.Place)
			if undefined.Path != "products[0].hs_code" || !strings.Contains(undefined.Why, "product LAMP has no hs_code") {
				t.Errorf("%s: %s at %s", l.Place, undefined.Why, undefined.Path)
			}
		}
	}
	// Below A$1,000 and NZ$1,000 no duty is asked for; within the EU there is none.
	if got := strings.Join(blank, " "); got != "GB CH US NO CA-ON JP" {
		t.Errorf("blank to %s", got)
	}
	for _, v := range s.est.Variants {
		for _, p := range v.Prices {
			s.rat(p.Shelf)
		}
	}
}

// TestOperationWithoutAWorkCentre: an operation in the shop that names none yet stops
// nothing; the cost of the whole rests on a gap that says which one it is.
func TestOperationWithoutAWorkCentre(t *testing.T) {
	t.Parallel()
	tried := 0
	for i, p := range demo(t).Parts {
		for j, op := range p.Routing {
			if op.Kind == bom.Outside {
				continue
			}
			b := demo(t)
			b.Parts[i].Routing[j].WorkCentre = ""
			e, err := estimate.Build(b, []estimate.MixLine{{Part: p.Number, Quantity: bom.Whole(50)}}, demoDay)
			if err != nil {
				t.Errorf("%s, operation %d: %v", p.Number, op.Number, err)
				continue
			}
			full, standing := e.Variants[0].Full, e.Graph.Standing(nil)
			said := slices.ContainsFunc(standing.Missing(full), func(n graph.Node) bool {
				return strings.Contains(n.Missing, fmt.Sprintf("work centre of %s, operation %d", p.Name, op.Number))
			})
			if standing.Of(full) != graph.AtLeast || !said {
				t.Errorf("%s, operation %d: the full cost is %v and lacks %v", p.Number, op.Number, standing.Of(full), standing.Missing(full))
			}
			tried++
		}
	}
	if tried < 20 {
		t.Errorf("only %d operations were tried", tried)
	}
}
