package answer

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
)

// TestCheckedIsBuilt: what a check has built is priced without being built again.
func TestCheckedIsBuilt(t *testing.T) {
	t.Parallel()
	o := Of(booktest.Demo(t))
	o.Check(nil, "2026-11-25")
	for _, trim := range o.Book.Products[0].Trims {
		mix := estimate.NewMix("LAMP", decimal.NewFromInt(100), trim.ID)
		checked, ok := o.Memory.graphs.Peek(o.Key(mix, "2026-11-25").batch)
		if !ok {
			t.Fatalf("%s is not kept", trim.ID)
		}
		if e, err := o.Evaluate(t.Context(), mix, "2026-11-25"); err != nil || e.Frame != checked {
			t.Errorf("%s is built again, %v", trim.ID, err)
		}
	}
}
