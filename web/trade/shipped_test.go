package trade

import (
	"strings"
	"testing"

	"kerfbook/costing/rates"
)

// TestEveryRowShippedHasItsSource: no row of a material, a set of tools or the finishes
// stands on the page without what it says, whence it is and when it was looked at, with
// its age.
func TestEveryRowShippedHasItsSource(t *testing.T) {
	t.Parallel()
	starters, err := rates.Starters()
	if err != nil {
		t.Fatal(err)
	}
	about, rows := []string{finishesWord}, 0
	for _, s := range starters {
		about = append(about, string(s.ID))
	}
	for _, name := range about {
		title, shown, err := shipped(name, "2027-01-01")
		if err != nil || title == "" || len(shown) == 0 {
			t.Errorf("%s: %d rows below %q, %v", name, len(shown), title, err)
		}
		for _, r := range shown {
			if r.Says == "" || r.Source == "" || !strings.HasSuffix(r.Age, " days ago") {
				t.Errorf("%s, %s: says %q, from %q, looked at %q", name, r.Name, r.Says, r.Source, r.Age)
			}
			rows++
		}
	}
	if rows < 700 {
		t.Errorf("%d rows", rows)
	}
}
