package exact_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph/graphtest"
)

func TestTable(t *testing.T) {
	t.Parallel()
	for _, c := range graphtest.Cases() {
		t.Run(c.Name, func(t *testing.T) {
			t.Parallel()
			g, out, err := c.Graph()
			if err != nil {
				t.Fatal(err)
			}
			v := graphtest.Evaluated(t, g)
			for i, id := range out {
				got := graphtest.Undefined
				if d, ok := v.Raw(id); ok {
					got = d.String()
				}
				if want := c.Want[i]; got != want && (want == graphtest.Undefined || got == graphtest.Undefined ||
					!decimal.RequireFromString(want).Equal(decimal.RequireFromString(got))) {
					t.Errorf("output %d is %s, want %s", i, got, want)
				}
			}
		})
	}
}
