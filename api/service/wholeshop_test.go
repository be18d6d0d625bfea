package service_test

import (
	"fmt"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/testdata/depth"
)

// TestWholeShop: a shop of 3,000 parts at one bench, and one of 10,000 at many, is read,
// checked and kept, records of it are saved and a product of all parts is priced.
func TestWholeShop(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ parts, benches int }{{depth.Of(3_000), 1}, {depth.Of(10_000), 40}} {
		t.Run(fmt.Sprint(c.parts), func(t *testing.T) {
			t.Parallel()
			s, _ := opened(t, atTen, []byte(booktest.Shop(c.parts, c.benches)))
			full := func() decimal.Decimal {
				e, _, err := s.Estimate(t.Context(), estimate.NewMix("X", decimal.NewFromInt(50), "only"), day)
				if err != nil {
					t.Fatal(err)
				}
				if len(e.Findings) > 0 {
					t.Errorf("%d findings: %+v", len(e.Findings), e.Findings[0])
				}
				return decimal.RequireFromString(e.Variants[0].Full.Value)
			}
			before := full()
			for kind, r := range map[string][2]string{
				"parts":  {"P7", "{number: P7, revision: B, name: knob, kind: bought}"},
				"offers": {"P7.S", "{for: P7, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 1.4}]}"},
			} {
				held := must(s.Record(t.Context(), kind, r[0], 0))(t)
				must(s.PutRecord(t.Context(), maker, kind, r[0], []byte(r[1]), held.Version))(t)
			}
			// One euro more a piece, with 2 % on what is bought and 13 % on all.
			if more, want := full().Sub(before).Round(20), decimal.RequireFromString("1.1526"); !more.Equal(want) {
				t.Errorf("an offer that is one dearer makes the product %s dearer, want %s", more, want)
			}
		})
	}
}
