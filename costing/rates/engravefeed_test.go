package rates

import (
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// TestEngravingFeeds holds the feeds of engravers to what is printed for flat-nosed V
// cutters of 0.2 mm in a desktop mill (source `desktop-mill-parameters`:
// mm/min at 13,000/min) and to a program for copper-clad board (source `board-engraving`:
// 300 mm/min at 12,000/min).
func TestEngravingFeeds(t *testing.T) {
	t.Parallel()
	rows := cutting(t).Rows
	for _, c := range []struct {
		row         bom.ID
		feed, turns int64
	}{{"CU-EN", 200, 13000}, {"CU-EN", 300, 12000}, {"BR-EN", 150, 13000}, {"AL-EN", 300, 13000}, {"AL-EN", 500, 13000}, {"POM-EN", 500, 13000}, {"PMMA-EN", 500, 13000}} {
		at := slices.IndexFunc(rows, func(r CuttingRow) bool { return r.ID == c.row })
		printed := decimal.New(c.feed, 0).DivRound(decimal.New(c.turns, 0), 4)
		if f := rows[at].FeedMM; printed.LessThan(f.Low) || printed.GreaterThan(f.High) {
			t.Errorf("%s feeds %s to %s mm, and %s is printed", c.row, f.Low, f.High, printed)
		}
	}
}
