package estimate_test

import (
	"errors"
	"strings"
	"testing"

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
