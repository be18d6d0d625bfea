package bom_test

import (
	"testing"

	"kerfbook/bom"
)

func TestDays(t *testing.T) {
	t.Parallel()
	for day, want := range map[bom.Date]string{"2026-11-05": "5 November 2026", "2024-02-29": "29 February 2024", "soon": "soon", "2026-13-01": "2026-13-01"} {
		if got := day.Words(); got != want {
			t.Errorf("%s is shown as %q, want %q", day, got, want)
		}
	}
	for _, c := range []struct {
		from, to bom.Date
		days     int
	}{{"2026-11-20", "2026-11-28", 8}, {"2024-02-28", "2024-03-01", 2}, {"2025-12-31", "2026-12-31", 365}, {"2026-11-28", "2026-11-28", 0}, {"", "2026-11-28", 0}} {
		if got := c.from.DaysUntil(c.to); got != c.days {
			t.Errorf("%s to %s is %d days, want %d", c.from, c.to, got, c.days)
		}
	}
}
