package trade

import (
	"strings"
	"testing"
)

// TestAConfirmedRowIsTold: a row that ships without a source counts as looked at, under the
// name of who did; one with a source stays what it is.
func TestAConfirmedRowIsTold(t *testing.T) {
	t.Parallel()
	shipped, err := Reference()
	if err != nil {
		t.Fatal(err)
	}
	goods, to := Goods{HSCode: "741980", Origin: "PT"}, Destination{Country: "US"}
	before, _ := (Tables{Reference: shipped}).TariffFor(goods, to, "2026-11-25")
	own, unverified := Rules{}, 0
	for _, row := range before {
		own.Confirmed = append(own.Confirmed, Confirmed{Row: row.Where, By: "Ana", On: "2026-11-28"})
	}
	after, _ := (Tables{Own: own, Reference: shipped}).TariffFor(goods, to, "2026-11-25")
	for i, row := range after {
		if !before[i].Unverified {
			if row.Cite != before[i].Cite {
				t.Errorf("%s had a source", row.Where)
			}
			continue
		}
		if unverified++; row.Unverified || row.CheckedOn != "2026-11-28" || !strings.HasPrefix(row.Cite, "confirmed by Ana on 2026-11-28; it ships as: from memory") {
			t.Errorf("%+v", row.Provenance)
		}
	}
	if unverified == 0 {
		t.Error("no row ships without a source")
	}
}
