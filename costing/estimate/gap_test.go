package estimate_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/exact"
)

// A product without a classification is priced in every channel and wherever the
// way it is imported asks for no duty; elsewhere its landed price is blank, and
// what stands there leads to the field.
func TestLandedPriceIsBlankWithoutItsClassification(t *testing.T) {
	t.Parallel()
	b := demo(t)
	b.Products[0].HSCode, b.Products[0].National = "", nil
	est := build(t, b, estimate.NewMix("LAMP", decimal.NewFromInt(250), "glow"))
	values, err := exact.Evaluate(est.Graph, nil)
	if err != nil {
		t.Fatal(err)
	}
	var blank []string
	for _, l := range est.Landed {
		if l.Consignment != "glow" {
			continue
		}
		_, err := values.Get(l.AtPlace.Total)
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
	for _, v := range est.Variants {
		for _, p := range v.Prices {
			if _, err := values.Get(p.Shelf); err != nil {
				t.Error(err)
			}
		}
	}
}
