package rates

import (
	"strings"
	"testing"

	"kerfbook/bom"
)

// TestBoringFeeds: a bar of steel of up to three diameters bores as a tool turns, and
// beyond that speed and depth are taken back, not the feed (source
// `boring-bars`). So the feeds of
// boring reach up to that of turning.
func TestBoringFeeds(t *testing.T) {
	t.Parallel()
	rows := map[bom.ID]CuttingRow{}
	for _, r := range cutting(t).Rows {
		rows[r.ID] = r
	}
	for id, bored := range rows {
		material, ok := strings.CutSuffix(string(id), "-BO")
		if !ok {
			continue
		}
		if turned := rows[bom.ID(material+"-TU")]; !bored.FeedMM.High.Equal(turned.FeedMM.High) || bored.FeedMM.Likely.GreaterThan(turned.FeedMM.Likely) {
			t.Errorf("%s bores at %s to %s mm, and turns at %s", material, bored.FeedMM.Low, bored.FeedMM.High, turned.FeedMM.High)
		}
	}
}
